package support

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/message"
	"conewright/geom/overhang"
	"conewright/geom/polygon"
	"conewright/geom/section"
)

// maxLayers bounds the layers that columns cross.
const maxLayers = 200_000

// Hold finds the columns for places in the shells of a zone. It fails where the
// polygons do, on numbers that make no sense, and when ctx ends.
func Hold(ctx context.Context, s *Shells, p *Places) (*Columns, error) {
	h := &holder{s: s, contacts: contacts{s, map[int]*contact{}}}
	if err := h.cutSolid(ctx, p); err != nil {
		return nil, err
	}
	h.bear(p.Starts)
	for _, b := range h.births {
		for _, piece := range b.pieces {
			h.columns.Newborn = append(h.columns.Newborn, piece)
			h.wide.add(piece, false)
		}
	}
	if err := h.descend(ctx); err != nil {
		return nil, err
	}
	return &h.columns, h.judge(p)
}

// holder holds the state of one search.
type holder struct {
	s        *Shells
	contacts contacts // what leans out
	wide     contacts // newborn areas: columns reach farther beyond them
	births   []birth
	low      int              // index of the lowest layer
	solid    []polygon.Region // section of layer low + i
	layers   []Layer          // of the same, empty ones too
	columns  Columns
}

// birth is the area that a shell which starts in mid-air begins with.
type birth struct {
	start  overhang.Start
	pieces [][]r3.Vec
}

// cutSolid sorts the pieces by layers and cuts what is printed at every layer from
// the lowest that a column can reach to the highest place that is held.
func (h *holder) cutSolid(ctx context.Context, p *Places) error {
	s := h.s
	h.wide = contacts{s, map[int]*contact{}}
	box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	high := math.MinInt
	note := func(v r3.Vec, z float64) {
		box.Min = r2.Vec{X: min(box.Min.X, v.X), Y: min(box.Min.Y, v.Y)}
		box.Max = r2.Vec{X: max(box.Max.X, v.X), Y: max(box.Max.Y, v.Y)}
		high = max(high, s.first(z))
	}
	for k, list := range [][][]r3.Vec{p.Pieces, p.Later} {
		for _, piece := range list {
			for _, v := range piece {
				note(v, s.lifted(v).Z)
			}
			h.contacts.add(piece, k == 0)
		}
	}
	for i := range h.contacts.layers {
		high = max(high, i+1+gapLayers) // a bent field is higher inside a piece than at its corners
	}
	for _, start := range p.Starts {
		note(start.At, start.Height-s.Drop)
	}
	if high == math.MinInt {
		return nil
	}
	h.low = min(int(math.Floor((s.least(box)-s.Drop)/s.Height))-1, high)
	if high-h.low > maxLayers {
		return message.Errorf("%s: %s", message.New("%.0f layers are more than %d", float64(high-h.low), maxLayers), message.New("thicken the layers"))
	}
	heights := make([]float64, high-h.low+1)
	for i := range heights {
		heights[i] = (float64(h.low+i) + 0.5) * s.Height
	}
	sections, err := section.Sections(ctx, s.Solid, heights)
	if err != nil {
		return err
	}
	h.solid = make([]polygon.Region, len(sections))
	for i := range sections {
		if h.solid[i], err = polygon.Clean(sections[i].Contours); err != nil {
			return err
		}
	}
	if p.OnlyStarts { // pieces stay, to be judged, but hold no columns up
		for _, c := range h.contacts.layers {
			c.plan = nil
		}
	}
	return nil
}

// least returns the least lift over a box and a margin about it, or less.
func (s *Shells) least(box r2.Box) float64 {
	const margin, steps = 3.0, 64
	size := r2.Add(r2.Sub(box.Max, box.Min), r2.Vec{X: 2 * margin, Y: 2 * margin})
	low := math.Inf(1)
	for y := range steps + 1 {
		for x := range steps + 1 {
			q := r2.Vec{X: box.Min.X - margin + size.X*float64(x)/steps, Y: box.Min.Y - margin + size.Y*float64(y)/steps}
			low = min(low, s.Field.At(q))
		}
	}
	return low - s.Field.Slope()*math.Hypot(size.X, size.Y)/steps/2
}

// of returns the section of a layer; nothing outside those that were cut.
func (h *holder) of(layer int) polygon.Region {
	if i := layer - h.low; i >= 0 && i < len(h.solid) {
		return h.solid[i]
	}
	return nil
}

// bear finds the newborn area of every start: what the first layer over it holds
// that the layer below doesn't, in the island nearest to the start.
func (h *holder) bear(starts []overhang.Start) {
	s := h.s
	for _, start := range starts {
		z := start.Height - s.Drop
		i := s.first(z)
		at := r2.Vec{X: start.At.X, Y: start.At.Y}
		born, err := polygon.Subtract(h.of(i), h.of(i-1))
		var island polygon.Region
		if err == nil {
			near := 2 * s.LineWidth
			for _, c := range born.Components() {
				if d := distance(c, at); d < near {
					near, island = d, c
				}
			}
		}
		h.births = append(h.births, birth{start, s.squares(island, at, z)})
	}
}

// squares covers an area with squares at a planar height, at least one about a place.
func (s *Shells) squares(r polygon.Region, at r2.Vec, z float64) [][]r3.Vec {
	const side, most = 0.6, 4000
	size := max(side, math.Sqrt(r.Area()/most))
	square := func(c r2.Vec) []r3.Vec {
		var out []r3.Vec
		for _, d := range [4]r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
			q := r2.Add(c, r2.Scale(size/2, d))
			out = append(out, r3.Vec{X: q.X, Y: q.Y, Z: z + s.Drop - s.Field.At(q)})
		}
		return out
	}
	out := [][]r3.Vec{square(at)}
	if len(r) == 0 {
		return out
	}
	box := r.Bounds()
	for y := box.Min.Y + size/2; y < box.Max.Y+size/2; y += size {
		for x := box.Min.X + size/2; x < box.Max.X+size/2; x += size {
			if q := (r2.Vec{X: x, Y: y}); r.Contains(q) {
				out = append(out, square(q))
			}
		}
	}
	return out
}

// descend grows the columns from above.
func (h *holder) descend(ctx context.Context) error {
	h.layers = make([]Layer, len(h.solid))
	areas := make([]polygon.Region, len(h.solid)+roofLayers)
	for k := len(h.solid) - 1; k >= 0; k-- {
		if err := ctx.Err(); err != nil {
			return err
		}
		var err error
		if areas[k], err = h.area(h.low+k, areas[k+1]); err != nil {
			return err
		}
		l := &h.layers[k]
		l.Index = h.low + k
		if l.Centre, err = polygon.Inset(areas[k], h.s.LineWidth/2); err != nil {
			return err
		}
		if l.Top, err = polygon.Subtract(areas[k], areas[k+1]); err != nil {
			return err
		}
		if l.Centre, err = h.narrowed(l); err != nil {
			return err
		}
		if l.Roof, err = polygon.Subtract(l.Centre, areas[k+roofLayers]); err != nil {
			return err
		}
	}
	for _, l := range h.layers {
		if len(l.Centre) > 0 {
			h.columns.Layers = append(h.columns.Layers, l)
		}
	}
	return nil
}

// narrowed returns a layer's columns with those narrower, by a line all round, that
// stand wholly on the part, but for a rim: their foot comes off more easily. Where a column ends again
// at once, or would vanish, it stays.
func (h *holder) narrowed(l *Layer) (polygon.Region, error) {
	var e errors
	below := e.of(polygon.Union(slices.Concat(h.of(l.Index-1), h.of(l.Index-footLayers))))
	if len(e.of(polygon.Intersect(l.Centre, below))) == 0 {
		return l.Centre, e.first
	}
	var out polygon.Region
	for _, column := range l.Centre.Components() {
		beside := e.of(polygon.Inset(e.of(polygon.Subtract(column, below)), h.s.LineWidth/2))
		whole := len(beside) == 0 && len(e.of(polygon.Intersect(column, l.Top))) == 0
		if foot := e.of(polygon.Inset(column, h.s.LineWidth)); whole && len(foot) > 0 {
			column = foot
		}
		out = append(out, column...)
	}
	return out, e.first
}

// area returns the columns' area in a layer, given that of the layer above: what
// comes from above and doesn't meet the part, and what begins here.
func (h *holder) area(i int, above polygon.Region) (polygon.Region, error) {
	var e errors
	kept := e.of(polygon.Subtract(above, e.of(polygon.GrowRound(h.of(i), sideGap))))
	ends := slices.Concat(h.begin(&e, h.contacts.layers[i], h.s.LineWidth), h.begin(&e, h.wide.layers[i], startMargin))
	if len(ends) > 0 {
		ends = e.of(polygon.Subtract(ends, e.of(polygon.GrowRound(h.of(i), contactGap))))
		for k := range gapLayers {
			ends = e.of(polygon.Subtract(ends, h.of(i+1+k)))
		}
		kept = e.of(polygon.Clean(slices.Concat(kept, e.of(polygon.Intersect(ends, h.s.bed())))))
	}
	return kept, e.first
}

// begin returns the area of the columns that a layer's contact begins.
func (h *holder) begin(e *errors, c *contact, margin float64) polygon.Region {
	if c == nil || len(c.plan) == 0 {
		return nil
	}
	return e.of(polygon.Grow(e.of(polygon.Union(c.plan)), margin))
}

// bed returns where columns may stand as a region.
func (s *Shells) bed() polygon.Region {
	b := s.Bed
	return polygon.Region{{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}}
}

// errors keeps the first error of a chain of polygon operations.
type errors struct{ first error }

func (e *errors) of(r polygon.Region, err error) polygon.Region {
	if err != nil && e.first == nil {
		e.first = err
	}
	return r
}

package render

import (
	"math"
	"strings"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Bed is the machine's bed as it is drawn, in bed coordinates and mm.
type Bed struct {
	Travel    r3.Box   // as far as the tip goes; infinite where an axis has no end
	Obstacles []r3.Box // what stands on the bed (clips, frame)
}

// beyondLeast is how far, mm, a part must reach over the travel to be told: less
// is rounding.
const beyondLeast = 1e-6

// beyond returns how far, mm, a box reaches over the travel along x, y and z.
func (b *Bed) beyond(box r3.Box) r3.Vec {
	over := func(lo, hi, from, to float64) float64 { return max(from-lo, hi-to, 0) }
	t := b.Travel
	return r3.Vec{
		X: over(box.Min.X, box.Max.X, t.Min.X, t.Max.X),
		Y: over(box.Min.Y, box.Max.Y, t.Min.Y, t.Max.Y),
		Z: over(box.Min.Z, box.Max.Z, t.Min.Z, t.Max.Z),
	}
}

// partBox returns the box of the part as it is drawn.
func (m *model) partBox() r3.Box { return r3.Box{Min: m.solid.Min, Max: m.solid.Max} }

// finiteTravel returns the travel's rectangle in plan with ends to draw: an axis
// without end goes as far as what is drawn of it.
func (b *Bed) finiteTravel(drawn r3.Box) (lo, hi r2.Vec) {
	end := func(v, instead float64) float64 {
		if math.IsInf(v, 0) {
			return instead
		}
		return v
	}
	t := b.Travel
	lo = r2.Vec{X: end(t.Min.X, drawn.Min.X), Y: end(t.Min.Y, drawn.Min.Y)}
	hi = r2.Vec{X: end(t.Max.X, drawn.Max.X), Y: end(t.Max.Y, drawn.Max.Y)}
	return lo, hi
}

// bedInPlan draws the travel's edges and the obstacles at the plan's own scale,
// and says how far the part reaches over the travel.
func (s *sketch) bedInPlan(m *model, f *drawing.ViewFrame) {
	b := s.in.Bed
	if b == nil {
		return
	}
	part := m.partBox()
	over := b.beyond(part)
	if s.in.Warp > 0 { // its heights are none of the machine's
		over.Z = 0
	}
	const far = 1e4 // mm: beyond every sheet
	lo, hi := b.finiteTravel(r3.Box{Min: r3.Vec{X: part.Min.X - far, Y: part.Min.Y - far}, Max: r3.Vec{X: part.Max.X + far, Y: part.Max.Y + far}})
	for _, e := range b.edges(lo, hi, part) {
		before := len(s.drawing.Lines)
		s.curve(f, style{pen: drawing.Ground, tone: e.tone}, e.from, e.to)
		s.shown.bed = s.shown.bed || len(s.drawing.Lines) > before
	}
	s.obstaclesInPlan(m, f)
	if words := s.beyondWords(over); words != "" {
		s.textIn(f, drawing.Text{Role: drawing.Label, Tone: drawing.Accent, Size: labelSize, Halo: true,
			At: r2.Vec{X: f.Rect.Min.X, Y: f.Rect.Min.Y + 2.35*labelSize}, Words: words})
	}
}

// bedEdge is an edge of the travel in plan, in the accent tone where the part
// reaches over it.
type bedEdge struct {
	from, to r3.Vec
	tone     drawing.Tone
}

// toneBeyond returns the tone of an edge of the travel over which the part
// reaches by so many mm.
func toneBeyond(over float64) drawing.Tone {
	if over > beyondLeast {
		return drawing.Accent
	}
	return drawing.Ink
}

// edges returns those edges of the travel that exist.
func (b *Bed) edges(lo, hi r2.Vec, part r3.Box) []bedEdge {
	a, c := r3.Vec{X: lo.X, Y: lo.Y}, r3.Vec{X: hi.X, Y: lo.Y}
	d, e := r3.Vec{X: hi.X, Y: hi.Y}, r3.Vec{X: lo.X, Y: hi.Y}
	t := b.Travel
	var edges []bedEdge
	add := func(end, over float64, from, to r3.Vec) {
		if !math.IsInf(end, 0) {
			edges = append(edges, bedEdge{from, to, toneBeyond(over)})
		}
	}
	add(t.Min.Y, t.Min.Y-part.Min.Y, a, c)
	add(t.Max.X, part.Max.X-t.Max.X, c, d)
	add(t.Max.Y, part.Max.Y-t.Max.Y, d, e)
	add(t.Min.X, t.Min.X-part.Min.X, e, a)
	return edges
}

// obstaclesInPlan draws the obstacles; one in which a part stands is named, in the
// accent tone.
func (s *sketch) obstaclesInPlan(m *model, f *drawing.ViewFrame) {
	for _, o := range s.in.Bed.Obstacles {
		tone := drawing.Ink
		if m.standsIn(o) {
			tone = drawing.Accent
			s.textIn(f, drawing.Text{Role: drawing.Label, Tone: tone, Size: labelSize, Halo: true,
				At: f.Paper(r3.Vec{X: o.Min.X, Y: o.Max.Y}), Words: s.in.Texts.KeyObstacle})
		}
		s.obstacle(f, tone, r3.Vec{X: o.Min.X, Y: o.Min.Y}, r3.Vec{X: o.Max.X, Y: o.Min.Y}, r3.Vec{X: o.Max.X, Y: o.Max.Y}, r3.Vec{X: o.Min.X, Y: o.Max.Y})
	}
}

// standsIn reports whether the box of a part meets an obstacle.
func (m *model) standsIn(o r3.Box) bool {
	outlines := m.parts
	if len(outlines) == 0 {
		outlines = [][]r3.Vec{m.footprint}
	}
	for _, outline := range outlines {
		if len(outline) == 0 {
			continue
		}
		b := boxOf(outline)
		if b.Min.X < o.Max.X && o.Min.X < b.Max.X && b.Min.Y < o.Max.Y && o.Min.Y < b.Max.Y && o.Min.Z < m.solid.Max.Z && o.Max.Z > 0 {
			return true
		}
	}
	return false
}

// obstacle draws a box as a rectangle with its diagonals.
func (s *sketch) obstacle(f *drawing.ViewFrame, tone drawing.Tone, a, b, c, d r3.Vec) {
	before := len(s.drawing.Lines)
	st := style{pen: drawing.Ground, tone: tone}
	s.curve(f, st, a, b, c, d, a)
	s.curve(f, st, a, c)
	s.curve(f, st, b, d)
	s.shown.obstacle = s.shown.obstacle || len(s.drawing.Lines) > before
}

// beyondWords says how far the part reaches over the travel, "" where it doesn't.
func (s *sketch) beyondWords(over r3.Vec) string {
	var axes []string
	for _, a := range []struct {
		name string
		by   float64
	}{{"x", over.X}, {"y", over.Y}, {"z", over.Z}} {
		if a.by > beyondLeast {
			axes = append(axes, a.name+" "+number(a.by, 1, s.in.Texts.Decimal)+" mm")
		}
	}
	if len(axes) == 0 {
		return ""
	}
	return s.in.Texts.Beyond + ": " + strings.Join(axes, ", ")
}

// bedInElevation draws the obstacles and the travel's sides and top.
func (s *sketch) bedInElevation(m *model, f *drawing.ViewFrame) {
	b := s.in.Bed
	if b == nil || s.in.Warp > 0 {
		return
	}
	for _, o := range b.Obstacles {
		s.obstacle(f, drawing.Ink, o.Min, r3.Vec{X: o.Max.X, Z: o.Min.Z}, r3.Vec{X: o.Max.X, Z: o.Max.Z}, r3.Vec{X: o.Min.X, Z: o.Max.Z})
	}
	t, part := b.Travel, m.partBox()
	crossed := func(over float64) style {
		return style{pen: drawing.Ground, tone: toneBeyond(over)}
	}
	lo, hi := b.finiteTravel(part)
	if top := t.Max.Z; !math.IsInf(top, 0) {
		s.curve(f, crossed(part.Max.Z-top), r3.Vec{X: lo.X, Z: top}, r3.Vec{X: hi.X, Z: top})
	}
	top := part.Max.Z
	if !math.IsInf(t.Max.Z, 0) {
		top = t.Max.Z
	}
	if !math.IsInf(t.Min.X, 0) {
		s.curve(f, crossed(t.Min.X-part.Min.X), r3.Vec{X: lo.X}, r3.Vec{X: lo.X, Z: top})
	}
	if !math.IsInf(t.Max.X, 0) {
		s.curve(f, crossed(part.Max.X-t.Max.X), r3.Vec{X: hi.X}, r3.Vec{X: hi.X, Z: top})
	}
}

// onBed shortens a line of the ground to the travel, x on paper.
func (s *sketch) onBed(f *drawing.ViewFrame, from, to float64) (float64, float64) {
	b := s.in.Bed
	if b == nil {
		return from, to
	}
	if least := b.Travel.Min.X; !math.IsInf(least, 0) {
		from = max(from, f.Paper(r3.Vec{X: least}).X)
	}
	if most := b.Travel.Max.X; !math.IsInf(most, 0) {
		to = min(to, f.Paper(r3.Vec{X: most}).X)
	}
	return from, to
}

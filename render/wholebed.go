package render

import (
	"math"
	"slices"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sizes of the small view of the whole bed, mm of paper.
const (
	insetWide, insetHigh = 30., 27. // at most
	insetLeast           = 8.       // of its greater side: less can't be read
	insetAway            = 3.       // from what the pictorial view shows
)

// endlessShown is how far, mm, an axis without end is drawn beyond the part.
const endlessShown = 50.

// wholeBed draws the bed with the part's outline on it, small, into the upper
// right corner of the pictorial view, where that leaves it free.
func (s *sketch) wholeBed(m *model, f *drawing.ViewFrame) {
	b := s.in.Bed
	if b == nil || s.in.Head != nil || s.in.Options.Only != drawing.Sheet || len(m.footprint) == 0 {
		return
	}
	part := m.partBox()
	aside := r3.Vec{X: endlessShown, Y: endlessShown}
	lo, hi := b.finiteTravel(r3.Box{Min: r3.Sub(part.Min, aside), Max: r3.Add(part.Max, aside)})
	all := r3.Box{
		Min: r3.Vec{X: min(lo.X, part.Min.X), Y: min(lo.Y, part.Min.Y)},
		Max: r3.Vec{X: max(hi.X, part.Max.X), Y: max(hi.Y, part.Max.Y)},
	}
	small, ok := insetFrame(m, f, all)
	if !ok {
		return
	}
	for _, e := range b.edges(lo, hi, part) {
		s.curve(&small, style{pen: drawing.Ground, tone: e.tone}, e.from, e.to)
		s.shown.bed = true
	}
	s.obstaclesInPlan(m, &small)
	footprints := m.parts
	if len(footprints) == 0 {
		footprints = [][]r3.Vec{m.footprint}
	}
	for _, outline := range footprints {
		if len(outline) == 0 {
			continue
		}
		over := b.beyond(boxOf(outline))
		s.curve(&small, style{pen: drawing.Visible, tone: toneBeyond(max(over.X, over.Y))}, outline...)
	}
	s.text(drawing.Text{View: f.View, Role: drawing.Label, Tone: drawing.Faint, Size: labelSize, Anchor: drawing.End,
		At: r2.Vec{X: f.Rect.Max.X, Y: f.Rect.Min.Y + labelSize}, Words: s.in.Texts.Bed + "  " + scaleWords(small.Scale, s.in.Texts.Decimal)})
}

// insetFrame returns a small plan of all in the upper right corner of the
// pictorial view, at the greatest scale at which it keeps clear of the part; false:
// at none.
func insetFrame(m *model, f *drawing.ViewFrame, all r3.Box) (drawing.ViewFrame, bool) {
	wide, high := all.Max.X-all.Min.X, all.Max.Y-all.Min.Y
	corner := r2.Vec{X: f.Rect.Max.X, Y: f.Rect.Min.Y + 1.9*labelSize}
	for _, k := range scales {
		if wide*k > insetWide || high*k > insetHigh {
			continue
		}
		if max(wide, high)*k < insetLeast {
			break
		}
		if !clearOfPart(m, f, r2.Vec{X: corner.X - wide*k - insetAway, Y: corner.Y + high*k + insetAway}) {
			continue
		}
		small := *f
		small.Right, small.Up, small.Toward = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
		small.Scale, small.Focus = k, r3.Vec{X: all.Min.X, Y: all.Max.Y}
		small.Origin = r2.Vec{X: corner.X - wide*k, Y: corner.Y}
		return small, true
	}
	return drawing.ViewFrame{}, false
}

// clearOfPart reports whether the part, as a view shows it, leaves free all that
// lies right of and over a place of the paper: some straight line parts the two.
func clearOfPart(m *model, f *drawing.ViewFrame, place r2.Vec) bool {
	const directions = 18
	for i := range directions + 1 {
		up, right := math.Sincos(float64(i) / directions * math.Pi / 2)
		along := func(p r2.Vec) float64 { return right*p.X - up*p.Y }
		most := math.Inf(-1)
		for _, p := range m.footprint {
			for _, z := range [2]float64{m.solid.Min.Z, m.solid.Max.Z} {
				most = max(most, along(f.Paper(r3.Vec{X: p.X, Y: p.Y, Z: z})))
			}
		}
		if most < along(place) {
			return true
		}
	}
	return false
}

// outlineInPlan returns the least convex outline of points seen from above, its
// first point again at the end; nil of fewer than three. By Andrew's monotone
// chain (Inf. Proc. Letters 9, 1979, from memory).
func outlineInPlan(points []r3.Vec) []r3.Vec {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b r3.Vec) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a.X == b.X && a.Y == b.Y:
			return 0
		}
		return 1
	})
	var hull []r3.Vec
	chain := func(q r3.Vec, least int) {
		q.Z = 0
		for n := len(hull); n > least; n = len(hull) {
			a, b := hull[n-2], hull[n-1]
			if (b.X-a.X)*(q.Y-a.Y)-(b.Y-a.Y)*(q.X-a.X) > 0 {
				break
			}
			hull = hull[:n-1]
		}
		hull = append(hull, q)
	}
	for _, q := range p {
		chain(q, 1)
	}
	least := len(hull)
	for i := len(p) - 2; i >= 0; i-- {
		chain(p[i], least)
	}
	if len(hull) < 4 {
		return nil
	}
	return hull
}

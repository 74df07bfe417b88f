package render

import (
	"math"

	"conewright/geom/field"
	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Distances of dimensions, mm of paper.
const (
	dimensionAway       = 9.   // of a dimension line from the part
	dimensionBeyondCuts = 17.  // of the height where cuts end at its side
	extensionGap        = 1.   // between the part and its extension line
	extensionOver       = 1.5  // of the extension line beyond the dimension line
	wordsAway           = 0.9  // of words from their line
	angleArm            = 11.5 // arms of an angle
	angleArc            = 8.5  // radius of its arc
)

// heightAndWidth dimensions the part in the elevation.
func (s *sketch) heightAndWidth(m *model, f *drawing.ViewFrame) {
	lo, hi := m.solid.Min, m.solid.Max
	if !(hi.X > lo.X && hi.Z > lo.Z) {
		return
	}
	a, b := f.Paper(lo), f.Paper(hi)
	away := dimensionAway
	if len(s.in.Cuts) > 0 && s.in.Warp == 0 { // the ends of cuts come between
		away = dimensionBeyondCuts
	}
	s.dimension(f, dimension{from: r2.Vec{X: a.X, Y: b.Y}, to: r2.Vec{X: a.X, Y: a.Y},
		away: r2.Vec{X: -away}, words: measured(hi.Z-lo.Z, s.in.Texts.Decimal)})
	width := measured(hi.X-lo.X, s.in.Texts.Decimal)
	if round(m.footprint) {
		width = diameterSign + width
	}
	s.dimension(f, dimension{from: a, to: r2.Vec{X: b.X, Y: a.Y},
		away: r2.Vec{Y: dimensionAway}, words: width, aside: true})
}

// diameterSign stands before the diameter of what is round (ISO 129-1, from memory).
// The drawings' font has this letter in place of the sign U+2300.
const diameterSign = "Ø"

// A part counts as round from so many corners on, all within a share of its radius.
const (
	roundCorners = 24
	roundWithin  = 0.01
)

// round reports whether an outline in plan is a circle, as a mesh has it.
func round(outline []r3.Vec) bool {
	if len(outline) < roundCorners {
		return false
	}
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range outline {
		low = r2.Vec{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y)}
		high = r2.Vec{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y)}
	}
	middle := r2.Scale(0.5, r2.Add(low, high))
	radius := (high.X - low.X) / 2
	last := outline[len(outline)-1]
	for _, p := range outline {
		off := r2.Norm(r2.Sub(r2.Vec{X: p.X, Y: p.Y}, middle)) - radius
		if math.Abs(off) > roundWithin*radius || math.Hypot(p.X-last.X, p.Y-last.Y) > radius/2 { // a long side is no arc
			return false
		}
		last = p
	}
	return true
}

// dimension is a measure between two points of paper, upright or level.
type dimension struct {
	from, to, away r2.Vec
	words          string
	aside          bool // the words keep off the middle, where an axis runs
}

func (s *sketch) dimension(f *drawing.ViewFrame, d dimension) {
	st := style{view: f.View, pen: drawing.Dimension}
	a, b := r2.Add(d.from, d.away), r2.Add(d.to, d.away)
	if !f.Rect.Contains(a) || !f.Rect.Contains(b) {
		return
	}
	out := r2.Unit(d.away)
	for _, p := range [2][2]r2.Vec{{d.from, a}, {d.to, b}} {
		s.line(st, r2.Add(p[0], r2.Scale(extensionGap, out)), r2.Add(p[1], r2.Scale(extensionOver, out)))
	}
	along := r2.Unit(r2.Sub(b, a))
	length := r2.Norm(r2.Sub(b, a))
	if length < 2*arrowLength+1 { // no room: arrows from outside
		s.line(st, r2.Sub(a, r2.Scale(2*arrowLength, along)), r2.Add(b, r2.Scale(2*arrowLength, along)))
		s.arrow(st, a, along)
		s.arrow(st, b, r2.Scale(-1, along))
	} else {
		s.line(st, a, b)
		s.arrow(st, a, r2.Scale(-1, along))
		s.arrow(st, b, along)
	}
	at := r2.Add(a, r2.Scale(0.5, r2.Sub(b, a)))
	turned := math.Abs(along.Y) > math.Abs(along.X)
	if turned {
		at.X -= wordsAway
	} else {
		at.Y -= wordsAway
	}
	if d.aside {
		run := lettering.Width(d.words, measureSize)
		at = r2.Sub(at, r2.Scale(min(run/2+1.5, max(length/2-run/2-arrowLength, 0)), along))
	}
	s.textIn(f, drawing.Text{Role: drawing.Measure, At: at, Size: measureSize, Anchor: drawing.Middle, Turned: turned, Halo: true, Words: d.words})
}

// angles dimensions the angle of each zone's shells: of the topmost over the
// part, of the others beside it.
func (s *sketch) angles(m *model, f *drawing.ViewFrame, y float64, sides []float64) {
	for i, z := range m.zones {
		if z.warp > 0 || z.field.Level() {
			continue
		}
		if axis, ok := z.field.Axis(); ok && i == len(m.zones)-1 {
			s.angleOver(f, z, r3.Vec{X: axis.X, Y: y, Z: m.solid.Max.Z})
		} else {
			s.angleBeside(m, f, z, y, sides[i])
		}
	}
}

// angleOver draws the angle at a chevron's tip above the part.
func (s *sketch) angleOver(f *drawing.ViewFrame, z *zoneModel, over r3.Vec) {
	tip := f.Paper(over)
	angle := z.field.Angle()
	rise := 4.4 // the words stay clear of the part
	fall := 1.0 // paper y runs down
	if z.field.Curvature() == field.Concave {
		fall = -1
	} else {
		rise = max(rise, angleArm*math.Sin(angle)*0.9)
	}
	tip.Y -= rise
	s.angle(f, tip, angle, fall)
}

// angleBeside draws the angle at a shell drawn out to the right of its zone.
func (s *sketch) angleBeside(m *model, f *drawing.ViewFrame, z *zoneModel, y, side float64) {
	slope := z.slopeRight(r2.Vec{X: m.solid.Max.X, Y: y})
	if slope == 0 || math.Abs(math.Atan(slope)) < z.field.Angle()-0.01 {
		return // a ramp that doesn't fall along the section
	}
	fall := math.Copysign(1, slope)
	tip := f.Paper(r3.Vec{X: side, Y: y, Z: z.mid()})
	drop := fall * angleArm * math.Sin(z.field.Angle())
	if !s.clearOfCuts(m, f, tip, drop) {
		for _, share := range []float64{0.65, 0.35, 0.8, 0.2, 1, 1.3} { // of the zone's height, beside the whole part
			other := f.Paper(r3.Vec{X: m.solid.Max.X, Y: y, Z: z.bottom + share*(z.top-z.bottom)})
			if s.clearOfCuts(m, f, other, drop) {
				tip = other
				break
			}
		}
	}
	tip.X += 2.5
	s.angle(f, tip, z.field.Angle(), fall)
}

// clearOfCuts reports whether an angle whose arm falls by so much stands clear of
// the ends of cuts right of the part.
func (s *sketch) clearOfCuts(m *model, f *drawing.ViewFrame, tip r2.Vec, fall float64) bool {
	low, high := tip.Y+min(fall, 0)-measureSize/2, tip.Y+max(fall, 0)+measureSize/2
	right := f.Paper(m.solid.Max).X
	for _, c := range s.in.Cuts {
		_, b, ok := cutTrace(m, f, c, sectionAt(s.in, m))
		if ok && b.X > right && tip.X+2*angleArm > right && high > b.Y-cutArrow && low < b.Y+measureSize/2 {
			return false
		}
	}
	return true
}

// slopeRight returns how steeply the zone's shells fall to the right: about an
// axis all the way round, else at a place.
func (z *zoneModel) slopeRight(at r2.Vec) float64 {
	_, round := z.field.Axis()
	switch bends := z.field.Curvature(); {
	case round && bends == field.Concave:
		return -z.field.Slope()
	case round:
		return z.field.Slope()
	}
	g, _ := z.field.Grad(at)
	return g.X
}

// angle draws a level arm, one that falls (fall = 1) or rises (-1) to the
// right, the arc between them and the measure.
func (s *sketch) angle(f *drawing.ViewFrame, tip r2.Vec, angle, fall float64) {
	at := func(a, r float64) r2.Vec {
		return r2.Vec{X: tip.X + r*math.Cos(a), Y: tip.Y + fall*r*math.Sin(a)}
	}
	words := at(angle/2, angleArc+1.2)
	if angle*angleArc < measureSize+1 { // no room between the arms: beyond them
		words = r2.Vec{X: tip.X + angleArm + 1.2, Y: tip.Y + fall*angleArm*math.Sin(angle)/2}
	}
	words.Y += lettering.CapHeight / 2 * measureSize
	if !f.Rect.Contains(tip) || !f.Rect.Contains(words) {
		return
	}
	st := style{view: f.View, pen: drawing.Dimension}
	s.line(st, tip, at(0, angleArm))
	s.line(st, tip, at(angle, angleArm))
	const n = 16
	arc := make([]r2.Vec, n+1)
	for i := range arc {
		arc[i] = at(angle*float64(i)/n, angleArc)
	}
	s.line(st, arc...)
	inward := 1.0
	if angle*angleArc <= 3*arrowLength { // no room between the arms: arrows from outside
		inward = -1
		out := 2 * arrowLength / angleArc
		s.line(st, at(-out, angleArc), at(-out/2, angleArc), at(0, angleArc))
		s.line(st, at(angle, angleArc), at(angle+out/2, angleArc), at(angle+out, angleArc))
	}
	s.arrow(st, arc[0], r2.Vec{Y: -fall * inward})
	sin, cos := math.Sincos(angle)
	s.arrow(st, arc[n], r2.Vec{X: -sin * inward, Y: fall * cos * inward})
	s.textIn(f, drawing.Text{Role: drawing.Measure, At: words, Size: measureSize, Halo: true,
		Words: number(degrees(angle), tenths(degrees(angle)), s.in.Texts.Decimal) + "°"})
}

// tenths returns the digits after the point of a measure in tenths: none where that
// would be a zero.
func tenths(v float64) int {
	if math.Abs(v-math.Round(v)) < 0.05 {
		return 0
	}
	return 1
}

// measured returns a length in tenths of a millimetre, as a dimension says it.
func measured(v float64, decimal string) string { return number(v, tenths(v), decimal) }

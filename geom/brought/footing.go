package brought

import (
	"math"

	"conewright/geom/register"

	"gonum.org/v1/gonum/spatial/r2"
)

// footing is where the part stands in a brought file, in plan.
type footing struct {
	places []r2.Vec // on the outline of its first section
	first  Box      // of that section
	whole  Box      // of the warped mesh
	bottom float64  // of its first layer, in the file
	layer  float64
}

// Box is a box in plan, mm.
type Box struct{ min, max r2.Vec }

// EmptyBox returns a box without places.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{r2.Vec{X: inf, Y: inf}, r2.Vec{X: -inf, Y: -inf}}
}

// Add widens the box to hold p.
func (b *Box) Add(p r2.Vec) {
	b.min = r2.Vec{X: math.Min(b.min.X, p.X), Y: math.Min(b.min.Y, p.Y)}
	b.max = r2.Vec{X: math.Max(b.max.X, p.X), Y: math.Max(b.max.Y, p.Y)}
}

func (b *Box) empty() bool { return b.min.X > b.max.X }

// near reports whether another box is nearer than d.
func (b *Box) near(o *Box, d float64) bool {
	return b.min.X-d <= o.max.X && o.min.X-d <= b.max.X && b.min.Y-d <= o.max.Y && o.min.Y-d <= b.max.Y
}

// meets reports whether the segment from p to q comes into the box, widened by
// d (clipping after Liang and Barsky).
func (b *Box) meets(p, q r2.Vec, d float64) bool {
	lo, hi := 0.0, 1.0
	for _, s := range [4][2]float64{
		{p.X - q.X, p.X - b.min.X + d}, {q.X - p.X, b.max.X + d - p.X},
		{p.Y - q.Y, p.Y - b.min.Y + d}, {q.Y - p.Y, b.max.Y + d - p.Y},
	} {
		switch {
		case s[0] == 0 && s[1] < 0:
			return false
		case s[0] < 0:
			lo = math.Max(lo, s[1]/s[0])
		case s[0] > 0:
			hi = math.Min(hi, s[1]/s[0])
		}
	}
	return lo <= hi
}

// newFooting finds where a target's part stands in the file that fit is of.
func newFooting(g *Target, fit *register.Result) footing {
	f := footing{first: EmptyBox(), whole: EmptyBox(), layer: g.LayerHeight}
	f.bottom = fit.Bottom + fit.Offset.Z
	var outline []r2.Vec
	z := math.Max(fit.Bottom, g.Warped.Bounds().Min.Z) + f.layer/2
	for i := range g.Warped.Facets {
		a, b, c := g.Warped.Corners(i)
		for k, p := range [3][2]float64{{a.Z, b.Z}, {b.Z, c.Z}, {c.Z, a.Z}} {
			if (p[0] < z) == (p[1] < z) {
				continue
			}
			from, to := [3]r2.Vec{{X: a.X, Y: a.Y}, {X: b.X, Y: b.Y}, {X: c.X, Y: c.Y}}[k], [3]r2.Vec{{X: b.X, Y: b.Y}, {X: c.X, Y: c.Y}, {X: a.X, Y: a.Y}}[k]
			t := (z - p[0]) / (p[1] - p[0])
			outline = append(outline, r2.Vec{X: from.X + t*(to.X-from.X) + fit.Offset.X, Y: from.Y + t*(to.Y-from.Y) + fit.Offset.Y})
		}
	}
	for i, p := range outline {
		f.first.Add(p)
		if i%(1+len(outline)/roundPlaces) == 0 {
			f.places = append(f.places, p)
		}
	}
	for _, v := range g.Warped.Vertices {
		f.whole.Add(r2.Vec{X: v.X + fit.Offset.X, Y: v.Y + fit.Offset.Y})
	}
	if f.first.empty() {
		f.first = f.whole
	}
	return f
}

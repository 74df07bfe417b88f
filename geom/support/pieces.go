package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/polygon"
)

// contact is what must be held from one layer: pieces of the surface whose columns
// end there.
type contact struct {
	plan  polygon.Region // all pieces, seen from above, turned counter-clockwise
	own   polygon.Region // of them: those of this zone
	real  float64        // area of the own pieces, mm2
	seen  float64        // the same seen from above
	steep []steepPiece   // own pieces that are next to nothing seen from above
	at    r3.Vec         // a place of the own pieces
}

type steepPiece struct {
	at   r3.Vec
	area float64
}

// steepest is the share of a piece's area that is seen from above, under which a
// piece is judged by its middle alone.
const steepest = 0.02

// bentMost is how far a piece's middle may lie off its shell's height, mm, before it
// is halved.
const bentMost = 0.02

// top returns the index of the layer in which a column under a surface of planar
// height z ends: layers are cut at their middles, so the part's first layer over z is
// the one whose middle isn't under z.
func (s *Shells) top(z float64) int { return s.first(z) - 1 - gapLayers }

// first returns the index of the first layer of the part over a surface of planar
// height z.
func (s *Shells) first(z float64) int { return int(math.Ceil(z/s.Height - 0.5 - 1e-9)) }

// lifted returns the planar place of a real one.
func (s *Shells) lifted(p r3.Vec) r3.Vec {
	p.Z += s.Field.At(r2.Vec{X: p.X, Y: p.Y}) - s.Drop
	return p
}

// contacts sorts pieces by the layer that their columns end in.
type contacts struct {
	s      *Shells
	layers map[int]*contact
}

// add takes a convex piece.
func (c *contacts) add(piece []r3.Vec, own bool) {
	for k := 1; k+1 < len(piece); k++ {
		c.triangle([3]r3.Vec{piece[0], piece[k], piece[k+1]}, own, 0)
	}
}

// triangle halves a triangle along its longest side until the shells under it are
// nearly plane, and cuts it by layers.
func (c *contacts) triangle(t [3]r3.Vec, own bool, depth int) {
	const mostHalvings = 24
	if k, bent := c.s.bends(t); bent && depth < mostHalvings {
		a, b, far := t[k], t[(k+1)%3], t[(k+2)%3]
		m := r3.Scale(0.5, r3.Add(a, b))
		c.triangle([3]r3.Vec{a, m, far}, own, depth+1)
		c.triangle([3]r3.Vec{m, b, far}, own, depth+1)
		return
	}
	real := r3.Norm(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))) / 2
	if real == 0 {
		return
	}
	plan := [3]r3.Vec{c.s.lifted(t[0]), c.s.lifted(t[1]), c.s.lifted(t[2])}
	seen := math.Abs(turn(plan[0], plan[1], plan[2])) / 2
	low, high := c.s.top(min(plan[0].Z, plan[1].Z, plan[2].Z)), c.s.top(max(plan[0].Z, plan[1].Z, plan[2].Z))
	for i := low; i <= high; i++ {
		// The layer's share: planar heights for which top gives i.
		bottom := (float64(i+gapLayers) + 0.5) * c.s.Height
		part := cut(cut(plan[:], bottom, 1), -(bottom + c.s.Height), -1)
		if len(part) >= 3 {
			c.take(i, part, real, seen, own)
		}
	}
}

// take adds a part of a triangle, which has the given areas, to a layer.
func (c *contacts) take(i int, part []r3.Vec, real, seen float64, own bool) {
	l := c.layers[i]
	if l == nil {
		l = &contact{}
		c.layers[i] = l
	}
	var outline []r2.Vec
	var middle r3.Vec
	for _, p := range part {
		outline = append(outline, r2.Vec{X: p.X, Y: p.Y})
		middle = r3.Add(middle, r3.Scale(1/float64(len(part)), p))
	}
	area := polygon.SignedArea(outline)
	if area < 0 {
		for a, b := 0, len(outline)-1; a < b; a, b = a+1, b-1 {
			outline[a], outline[b] = outline[b], outline[a]
		}
		area = -area
	}
	l.plan = append(l.plan, outline)
	if !own {
		return
	}
	middle.Z += c.s.Drop - c.s.Field.At(r2.Vec{X: middle.X, Y: middle.Y})
	l.at = middle
	if seen < steepest*real {
		share := 0.0
		if seen > 0 {
			share = area / seen
		}
		l.steep = append(l.steep, steepPiece{middle, share * real})
		return
	}
	l.own = append(l.own, outline)
	l.real, l.seen = l.real+real*area/seen, l.seen+area
}

// bends returns the longest side of a triangle and whether the field bends too much
// within the triangle.
func (s *Shells) bends(t [3]r3.Vec) (longest int, bent bool) {
	if s.Field.Linear() {
		return 0, false
	}
	at := func(p r3.Vec) float64 { return s.Field.At(r2.Vec{X: p.X, Y: p.Y}) }
	length, sum := 0.0, 0.0
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		sum += at(a)
		m := r3.Scale(0.5, r3.Add(a, b))
		bent = bent || math.Abs(at(m)-(at(a)+at(b))/2) > bentMost
		if l := r3.Norm2(r3.Sub(b, a)); l > length {
			length, longest = l, k
		}
	}
	m := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
	return longest, bent || math.Abs(at(m)-sum/3) > bentMost
}

// turn is twice the area of a triangle seen from above, signed.
func turn(a, b, c r3.Vec) float64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

// cut returns what of a convex piece has sign x z >= least.
func cut(piece []r3.Vec, least, sign float64) []r3.Vec {
	var out []r3.Vec
	for k, b := range piece {
		a := piece[(k+len(piece)-1)%len(piece)]
		over, from := sign*b.Z-least, sign*a.Z-least
		if over >= 0 != (from >= 0) {
			out = append(out, r3.Add(a, r3.Scale(from/(from-over), r3.Sub(b, a))))
		}
		if over >= 0 {
			out = append(out, b)
		}
	}
	return out
}

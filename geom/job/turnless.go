package job

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// findTurns says of zones whose shells a nozzle can't lay that leans and that no axis
// turns. No motion is made then.
func (r *run) findTurns() {
	card := r.setup.Machine.Card
	if !card.LeansFixed() {
		return
	}
	for _, g := range r.result.Regions {
		at, jumps, ok := g.turnless(card.NozzleAxis(0))
		if ok {
			continue
		}
		r.unfit = true
		if jumps {
			r.find(Stop, "swivel-range", g.Name, 0, point(at), "the shells change their slope at once at x %.1f y %.1f, and no axis turns the nozzle, which leans by %g degrees: use a ramp, or move the field's axis or line off the zone", at.X, at.Y, card.Head.Tilt)
			continue
		}
		n := g.Field.Normal(r2.Vec{X: at.X, Y: at.Y})
		off := math.Acos(r3.Dot(n, card.NozzleAxis(0))) * 180 / math.Pi
		r.find(Stop, "swivel-range", g.Name, 0, point(at), "the shells fall away from the nozzle, which leans by %g degrees and isn't turned by any axis: it would stand %.0f degrees off square on them: use a ramp toward azimuth 0, or a smaller angle", card.Head.Tilt, off)
	}
}

// turnless looks for a place of the zone at which a nozzle along d, which no axis
// turns, can't lay beads: the gradient jumps there, or the nozzle comes near to lying
// in the shell. ok reports that there is none.
func (r *Region) turnless(d r3.Vec) (at r3.Vec, jumps, ok bool) {
	for i := range r.Refined.Facets {
		a, b, c := r.Refined.Corners(i)
		place, jumps, ok := laysOver(&r.Field, d, r2.Vec{X: a.X, Y: a.Y}, r2.Vec{X: b.X, Y: b.Y}, r2.Vec{X: c.X, Y: c.Y})
		if !ok {
			return r3.Vec{X: place.X, Y: place.Y, Z: a.Z}, jumps, false
		}
		if r.Field.Linear() {
			break // the same everywhere
		}
	}
	return r3.Vec{}, false, true
}

const (
	// jumpReach is how near, mm, a facet comes to a place where the gradient jumps
	// before it counts as over it.
	jumpReach = 0.05
	// evenReach is the size, mm, of a facet whose gradient is judged by its middle.
	evenReach = 2.0
)

// laysOver is turnless over a triangle in plan; it halves one that is too large to
// tell.
func laysOver(f *field.Field, d r3.Vec, a, b, c r2.Vec) (at r2.Vec, jumps, ok bool) {
	middle := r2.Scale(1.0/3, r2.Add(a, r2.Add(b, c)))
	reach := math.Max(r2.Norm(r2.Sub(a, middle)), math.Max(r2.Norm(r2.Sub(b, middle)), r2.Norm(r2.Sub(c, middle))))
	near := !f.Linear() && (f.Crease(middle) < reach || f.Within(middle, reach))
	if near && reach < jumpReach && jumpsAt(f, middle) {
		return middle, true, false
	}
	if !near || reach < jumpReach {
		if g, _ := f.Grad(middle); !placement.Lays(g, d) {
			return middle, false, false
		}
		if reach < evenReach || f.Linear() { // also where a rounded field is level
			return at, false, true
		}
	}
	// Halve the longest side.
	ab, bc, ca := r2.Norm(r2.Sub(a, b)), r2.Norm(r2.Sub(b, c)), r2.Norm(r2.Sub(c, a))
	for ab < math.Max(bc, ca) {
		a, b, c = b, c, a
		ab, bc, ca = bc, ca, ab
	}
	half := r2.Scale(0.5, r2.Add(a, b))
	if at, jumps, ok = laysOver(f, d, a, half, c); ok {
		at, jumps, ok = laysOver(f, d, half, b, c)
	}
	return at, jumps, ok
}

// jumpsAt reports that the gradient changes within jumpReach of p by more than half
// of the field's greatest slope.
func jumpsAt(f *field.Field, p r2.Vec) bool {
	const round = 8
	var all [round]r2.Vec
	for i := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / round)
		all[i], _ = f.Grad(r2.Add(p, r2.Vec{X: jumpReach * cos, Y: jumpReach * sin}))
		for _, other := range all[:i] {
			if r2.Norm(r2.Sub(all[i], other)) > f.Slope()/2 {
				return true
			}
		}
	}
	return false
}

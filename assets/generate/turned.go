package generate

import (
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
)

// The fittings that a lathe could have made.

// Underside of the bollard's head, mm above the bed: where its job cuts.
const bollardCut = 26

// bollard: a flared foot, a waist and a wide head, flat underneath. The foot is
// what level layers print well; the head's underside is what they don't.
func bollard() (*mesh.Mesh, error) {
	var s solid
	loops := s.turn(r2.Vec{}, profile(
		at(15, 0), at(15, 3), corner(14, 3, 1, 0, 45, 4)[1:],
		corner(8+6, 11.5, 6, 225, 180, 8),
		at(8, bollardCut), at(20, bollardCut),
		at(20, 29), corner(17, 29, 3, 0, 90, 10)[1:],
		arcDown(17, 32, 34, 8), at(0, 34)))
	s.bottom(loops[0])
	return s.part()
}

// arcDown is the shallow crown of a head from its shoulder (r, z) up to near
// the axis at height top, as a parabola.
func arcDown(r, z, top float64, steps int) []r2.Vec {
	var out []r2.Vec
	for i := 1; i < steps; i++ {
		x := r * (1 - float64(i)/float64(steps))
		out = append(out, r2.Vec{X: x, Y: top - (top-z)*(x/r)*(x/r)})
	}
	return out
}

// penstock: a tube with a shelf inside that holds a strainer. The shelf hangs
// on the wall and ends in air. The bore is wide enough for a head that leans
// across it.
func penstock() (*mesh.Mesh, error) {
	var s solid
	s.turnRing(profile(
		at(20, 0), at(23, 0), at(23, 40), corner(22, 40, 1, 0, 90, 4)[1:],
		corner(21, 40, 1, 90, 180, 4),
		at(20, 27), at(13, 27), at(13, 24), at(20, 24)))
	return s.part()
}

// hopper: a funnel that stands on its wide end and closes inward to a neck, 55
// degrees from upright.
func hopper() (*mesh.Mesh, error) {
	var s solid
	s.turnRing(profile(
		at(24, 0), at(27, 0), at(27, 5), at(10, 17), at(10, 32),
		corner(9, 32, 1, 0, 90, 4)[1:], at(8, 33), corner(8, 32, 1, 90, 180, 4)[1:],
		at(7, 15), at(24, 3)))
	return s.part()
}

// cowl: a vent with a bore right through, under a wide cap that keeps spray
// out.
func cowl() (*mesh.Mesh, error) {
	var s solid
	s.turnRing(profile(
		at(6, 0), at(14, 0), at(14, 3), at(9, 8), at(9, 22), at(22, 22), at(22, 24),
		corner(9, 24, 13, 0, 90, 20)[1:], at(7, 37), corner(7, 36, 1, 90, 180, 4)[1:]))
	return s.part()
}

// standpipe: a tube with a flange outside, low down, and a shelf inside, higher
// up: the one wants shells that fall outward, the other inward.
func standpipe() (*mesh.Mesh, error) {
	var s solid
	s.turnRing(profile(
		at(20, 0), at(23, 0), at(23, 10), at(29, 10), at(29, 12), at(23, 18), at(23, 40),
		corner(22, 40, 1, 0, 90, 4)[1:], corner(21, 40, 1, 90, 180, 4),
		at(20, 33), at(14, 33), at(14, 30), at(20, 30)))
	return s.part()
}

// brazier: a fire bowl on a stem. The bowl leans out 58 degrees from upright,
// more than level layers bear and less than needs a steep cone.
func brazier() (*mesh.Mesh, error) {
	var s solid
	loops := s.turn(r2.Vec{}, profile(
		at(12, 0), at(12, 3), at(6, 9), at(6, 16), at(22, 26), at(22, 30),
		at(20, 30), at(20, 27.5), at(4, 17.5), at(0, 17.5)))
	s.bottom(loops[0])
	return s.part()
}

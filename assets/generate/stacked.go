package generate

import (
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
)

// The fittings that are stacked from outlines. Each outline lies strictly
// inside or outside the one below, so that level faces join them.

const bend = 24 // steps of an end or a fillet

// foot adds a post that stands on a flared foot, up to z, and returns its
// uppermost loop.
func (s *solid) foot(centre r2.Vec, footRadius, radius, z float64) loop {
	flare := footRadius - radius
	loops := s.turn(centre, profile(at(footRadius, 0), at(footRadius, 2), at(radius, 2+flare), at(radius, z)))
	s.bottom(loops[0])
	return loops[len(loops)-1]
}

// pin adds a short pin with a bevelled end that stands on a level face at z,
// and returns the loop that the face has to leave out.
func (s *solid) pin(centre r2.Vec, radius, z, height float64) loop {
	loops := s.turn(centre, profile(at(radius, z), at(radius, z+height-1), at(radius-1, z+height)))
	s.top(loops[len(loops)-1])
	return loops[0]
}

// bracket: a post with arms on three sides, each with a pin for a chain.
func bracket() (*mesh.Mesh, error) {
	var s solid
	const width, length, fillet = 5, 22, 6
	outline := func(inset float64) []r2.Vec { return star(3, width-inset, length, fillet+inset, bend) }
	post := s.foot(r2.Vec{}, 13, 6, 24)
	under, shoulder, upper := s.loop(24, outline(0)), s.loop(30, outline(0)), s.loop(31, outline(1))
	s.bottom(under, post)
	s.walls(under, shoulder, upper)
	pins := []loop{s.pin(r2.Vec{}, 4, 31, 6)}
	for i := range 3 {
		end := arc(r2.Vec{}, length, 90+120*float64(i), 90+120*float64(i), 1)[0]
		pins = append(pins, s.pin(end, 2.5, 31, 4))
	}
	s.top(upper, pins...)
	return s.part()
}

// gantry: two posts joined by a beam, to hang a fender from. The beam is
// narrower than the posts and ends flush with them, so that no lip hangs free
// on the side from which a ramp begins.
func gantry() (*mesh.Mesh, error) {
	var s solid
	left := s.foot(r2.Vec{X: -gantryHalf}, 9, 6, 26)
	right := s.foot(r2.Vec{X: gantryHalf}, 9, 6, 26)
	under, gap := gantryBeam(left, right)
	shoulder := s.gantryLoop(33, 6)
	upper := s.gantryLoop(34, 5)
	s.bottom(gap)
	s.walls(under, shoulder, upper)
	s.top(upper)
	return s.part()
}

const (
	gantryHalf = 18         // from the middle to a post's axis
	eighth     = around / 8 // the beam's sides leave the posts at 45 degrees
)

// gantryBeam returns, of two posts' upper loops, the outline of the posts and
// the beam, and that of the beam between the posts.
func gantryBeam(left, right loop) (outline, gap loop) {
	for k := 5 * eighth; k <= 11*eighth; k++ {
		outline = append(outline, right[k%around])
	}
	outline = append(outline, left[eighth:7*eighth+1]...)
	gap = append(gap, left[7*eighth])
	for k := 5 * eighth; k >= 3*eighth; k-- {
		gap = append(gap, right[k])
	}
	for k := 9 * eighth; k > 7*eighth; k-- {
		gap = append(gap, left[k%around])
	}
	return outline, gap
}

// gantryLoop adds the outline of posts and beam at another height and radius.
func (s *solid) gantryLoop(z, radius float64) loop {
	right := circle(r2.Vec{X: gantryHalf}, radius, around)
	left := circle(r2.Vec{X: -gantryHalf}, radius, around)
	var outline []r2.Vec
	for k := 5 * eighth; k <= 11*eighth; k++ {
		outline = append(outline, right[k%around])
	}
	return s.loop(z, append(outline, left[eighth:7*eighth+1]...))
}

// davit: a post with one long arm to one side, and an eye at its end.
func davit() (*mesh.Mesh, error) {
	var s solid
	const reach = 36
	post := s.foot(r2.Vec{}, 12, 6, 28)
	under := s.loop(28, hull(0, 8, reach, 5, 2*bend))
	shoulder := s.loop(34, hull(0, 8, reach, 5, 2*bend))
	upper := s.loop(35, hull(0, 7, reach, 4, 2*bend))
	eyeLow := s.loop(28, circle(r2.Vec{X: reach}, 2, 2*bend))
	eyeHigh := s.loop(35, circle(r2.Vec{X: reach}, 2, 2*bend))
	s.bottom(under, post, eyeLow)
	s.walls(under, shoulder, upper)
	s.wall(eyeLow.reversed(), eyeHigh.reversed())
	s.top(upper, s.pin(r2.Vec{}, 4, 35, 5), eyeHigh)
	return s.part()
}

// cleat: two horns on a neck, to belay a line on.
func cleat() (*mesh.Mesh, error) {
	var s solid
	foot := []loop{s.loop(0, stadium(12, 9, 2*bend)), s.loop(4, stadium(12, 9, 2*bend)), s.loop(5, stadium(12, 8, 2*bend))}
	neck := []loop{s.loop(5, stadium(8, 5, 2*bend)), s.loop(16, stadium(8, 5, 2*bend))}
	horns := []loop{s.loop(16, stadium(22, 6, 2*bend))}
	for _, p := range corner(3, 19, 3, 0, 90, 8) { // rounded along the upper edge
		horns = append(horns, s.loop(p.Y, stadium(22, p.X, 2*bend)))
	}
	s.bottom(foot[0])
	s.walls(foot...)
	s.top(foot[2], neck[0])
	s.walls(neck...)
	s.bottom(horns[0], neck[1])
	s.walls(horns...)
	s.top(horns[len(horns)-1])
	return s.part()
}

// beacon: a stem with two trays for lamps, the lower one out to one side, the
// upper one to the other.
func beacon() (*mesh.Mesh, error) {
	var s solid
	stem := s.foot(r2.Vec{}, 11, 5, 13)
	for _, tray := range []struct{ x, z, next float64 }{{-4, 13, 30}, {4, 30, 0}} {
		centre := r2.Vec{X: tray.x}
		under := s.loop(tray.z, circle(centre, 12, around))
		shoulder := s.loop(tray.z+3, circle(centre, 12, around))
		upper := s.loop(tray.z+4, circle(centre, 11, around))
		s.bottom(under, stem)
		s.walls(under, shoulder, upper)
		if tray.next == 0 {
			s.top(upper)
			break
		}
		low := s.loop(tray.z+4, circle(r2.Vec{}, 5, around))
		stem = s.loop(tray.next, circle(r2.Vec{}, 5, around))
		s.top(upper, low)
		s.wall(low, stem)
	}
	return s.part()
}

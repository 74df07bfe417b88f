package generate

import (
	"gonum.org/v1/gonum/spatial/r2"
)

// around is the number of steps of a full turn.
const around = 96

// A profile is a row of (r, z), r to the right and z up.

// corner is a rounding of a profile: like arc, in the plane of r and z.
func corner(r, z, radius, from, to float64, steps int) []r2.Vec {
	return arc(r2.Vec{X: r, Y: z}, radius, from, to, steps)
}

func profile(rows ...[]r2.Vec) []r2.Vec {
	var out []r2.Vec
	for _, r := range rows {
		out = append(out, r...)
	}
	return out
}

func at(r, z float64) []r2.Vec { return []r2.Vec{{X: r, Y: z}} }

// turn adds the surface that a profile sweeps about the axis through centre.
// It runs upward along the outside of the part; loops are returned from the
// first point to the last.
func (s *solid) turn(centre r2.Vec, rows []r2.Vec) []loop {
	var loops []loop
	for _, p := range rows {
		if p.X == 0 {
			loops = append(loops, s.loop(p.Y, []r2.Vec{centre}))
			continue
		}
		loops = append(loops, s.loop(p.Y, circle(centre, p.X, around)))
	}
	s.walls(loops...)
	return loops
}

// turnRing is turn for a profile that closes on itself, counter-clockwise.
func (s *solid) turnRing(rows []r2.Vec) {
	loops := s.turn(r2.Vec{}, rows)
	s.wall(loops[len(loops)-1], loops[0])
}

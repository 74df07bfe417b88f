package hidden

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Window is the part of a view that is drawn: what lies outside needs no rays.
// The zero value is no bound.
type Window struct {
	Right, Up r3.Vec // directions of the view
	Min, Max  r2.Vec // along them, from the bed's origin, mm of the part
}

// runs returns the stretches of p whose segments may show in the window.
func (w *Window) runs(p *Path) []Path {
	var runs []Path
	from := -1
	at := w.side(p.Points[0])
	for i := 1; i < len(p.Points); i++ {
		next := w.side(p.Points[i])
		if at&next == 0 {
			if from < 0 {
				from = i - 1
			}
		} else if from >= 0 {
			runs = append(runs, p.slice(from, i-1))
			from = -1
		}
		at = next
	}
	if from >= 0 {
		runs = append(runs, p.slice(from, len(p.Points)-1))
	}
	return runs
}

// side tells on which sides of the window a point lies, a bit each: two points
// with a bit in common have none of their segment in it (Cohen and
// Sutherland).
func (w *Window) side(p r3.Vec) (side uint8) {
	x, y := r3.Dot(p, w.Right), r3.Dot(p, w.Up)
	if x < w.Min.X {
		side |= 1
	}
	if x > w.Max.X {
		side |= 2
	}
	if y < w.Min.Y {
		side |= 4
	}
	if y > w.Max.Y {
		side |= 8
	}
	return side
}

// slice returns the path from point i to point k.
func (p *Path) slice(i, k int) Path {
	s := Path{Points: p.Points[i : k+1], InFacets: p.InFacets}
	if p.Normals != nil {
		s.Normals = p.Normals[i:k]
	}
	return s
}

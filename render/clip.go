package render

import (
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// clipLine calls visit with the stretches of a polyline within a rectangle.
// Where all of it lies within, visit gets the points themselves.
func clipLine(points []r2.Vec, r drawing.Rect, visit func([]r2.Vec)) {
	if len(points) < 2 {
		return
	}
	inside := true
	for _, p := range points {
		inside = inside && r.Contains(p)
	}
	if inside {
		visit(points)
		return
	}
	var run []r2.Vec
	flush := func() {
		if len(run) > 1 {
			visit(run)
		}
		run = nil
	}
	for i := 1; i < len(points); i++ {
		a, b, ok := clipSegment(points[i-1], points[i], r)
		if !ok {
			flush()
			continue
		}
		if len(run) == 0 || run[len(run)-1] != a {
			flush()
			run = append(run, a)
		}
		run = append(run, b)
		if b != points[i] {
			flush()
		}
	}
	flush()
}

// clipSegment returns the part of a segment within r (Liang and Barsky, A New
// Concept and Method for Line Clipping, 1984).
func clipSegment(a, b r2.Vec, r drawing.Rect) (r2.Vec, r2.Vec, bool) {
	t0, t1 := 0.0, 1.0
	d := r2.Sub(b, a)
	for _, e := range [4][2]float64{
		{-d.X, a.X - r.Min.X}, {d.X, r.Max.X - a.X},
		{-d.Y, a.Y - r.Min.Y}, {d.Y, r.Max.Y - a.Y},
	} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	if !(t0 <= t1) {
		return a, b, false
	}
	from, to := a, b
	if t0 > 0 {
		from = r2.Add(a, r2.Scale(t0, d))
	}
	if t1 < 1 {
		to = r2.Add(a, r2.Scale(t1, d))
	}
	return from, to, true
}

package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// NewRidge returns a cone about a line instead of a point: r is the distance in
// plan from the line through the points, of which there must be one or more. The
// angle is in radians. About one point it is the cone.
func NewRidge(angle float64, inward bool, line []r2.Vec, round float64) Field {
	l := newPolyline(line)
	if len(l.points) == 1 {
		return NewCone(angle, inward, l.points[0], round)
	}
	slope := math.Tan(angle)
	if slope == 0 {
		return Field{}
	}
	if inward {
		slope = -slope
	}
	return about(l, &rise{slope: slope, round: round}, "ridge")
}

// NewProfile returns a field whose shells' angle changes with the distance from
// a line: linearly in its tangent between the knots, whose distances begin at 0
// and rise, the last one's beyond. Angles are in radians; negative: the shells
// rise away from the line. With one angle everywhere it is the ridge.
func NewProfile(line []r2.Vec, distances, angles []float64) Field {
	even := true
	slopes := make([]float64, len(angles))
	for i, a := range angles {
		slopes[i] = math.Tan(a)
		even = even && a == angles[0]
	}
	if even {
		return NewRidge(math.Abs(angles[0]), angles[0] < 0, line, 0)
	}
	return about(newPolyline(line), newProfileRise(distances, slopes), "profile")
}

// about returns the field f = P(r), r the distance in plan from a line.
//
// The plan falls into sectors: along a segment r is linear, about an end or the
// outside of a bend it is the distance from a point; inside a bend, and where
// parts of the line face each other, sectors meet in a crease.
func about(l *polyline, p *rise, name string) Field {
	steepest := math.Abs(p.slope)
	for _, s := range p.spans {
		steepest = math.Max(steepest, math.Abs(s.slope))
	}
	a := &Answers{
		Name:  name,
		Slope: steepest, EvenSlope: p.spans == nil && p.round == 0,
		Curvature: p.curvature(len(l.segments) == 1), Line: l.points,
		At: func(q r2.Vec) float64 {
			lift, _, _ := p.at(l.distance(q))
			return lift
		},
		Grad: func(q r2.Vec) r2.Vec {
			_, off, r := l.nearest(q)
			if r == 0 {
				return r2.Vec{}
			}
			_, slope, _ := p.at(r)
			return r2.Scale(slope/r, off)
		},
		Breaks: func(ts []float64, from, to r2.Vec) []float64 { return breaksAbout(ts, l, p, from, to) },
		Bend: func(q r2.Vec, radius float64) float64 {
			r := l.distance(q)
			if r <= radius && (p.sharp() || l.bendWithin(q, radius)) || l.crease(q) <= radius {
				return math.Inf(1)
			}
			_, _, bend, turn := p.bounds(math.Max(0, r-radius), r+radius)
			if l.besideSegment(q, radius) {
				return bend
			}
			return math.Max(bend, turn)
		},
		Slopes: func(q r2.Vec, radius float64) (least, most float64) {
			r := l.distance(q)
			least, most, _, _ = p.bounds(math.Max(0, r-radius), r+radius)
			return least, most
		},
		Apart: func(q r2.Vec) float64 {
			r := l.distance(q)
			return math.Min(r, p.levelAt(r))
		},
		Crease: l.crease,
	}
	return Field{kind: own, slope: a.Slope, answers: a}
}

// curvature tells how P(r) bends as a whole. r is convex about one segment; so
// is P(r) where P rises ever steeper.
func (p *rise) curvature(single bool) Curvature {
	if !single {
		return Mixed
	}
	if p.spans == nil {
		if p.slope < 0 {
			return Concave
		}
		return Convex
	}
	convex, concave := true, true
	for _, s := range p.spans {
		convex = convex && s.slope >= 0 && s.half >= 0
		concave = concave && s.slope <= 0 && s.half <= 0
	}
	switch {
	case convex:
		return Convex
	case concave:
		return Concave
	}
	return Mixed
}

// passing is how near a line passes one of the field's points, mm, for the
// closest place to be a break: nearer, the azimuth turns within too short a way.
const passing = 0.01

// breaksAbout appends the breaks (Answers.Breaks) of P(r): where another part of
// the line becomes the nearest, where the line itself is crossed, where P is
// pieced together, and where P(r) along a straight past a point changes between
// convex and concave.
func breaksAbout(ts []float64, l *polyline, p *rise, from, to r2.Vec) []float64 {
	length := r2.Norm(r2.Sub(to, from))
	way := r2.Scale(1/length, r2.Sub(to, from))
	squares := l.squares(from, way)
	r := func(u float64) float64 { return l.distance(r2.Add(from, r2.Scale(u, way))) }
	add := func(u float64) {
		if u > 0 && u < length {
			ts = append(ts, u/length)
		}
	}
	// is reports that at u the square is that of the distance from the line.
	is := func(u float64, q square) bool {
		if !(u > 0 && u < length) {
			return false
		}
		at := r(u)
		v := math.Sqrt(math.Max(0, q.c+u*(q.b+u*q.a)))
		return math.Abs(v-at) <= 1e-6*(1+at)
	}
	for i := range l.segments { // the borders of its sector
		s := &l.segments[i]
		k, n := r2.Dot(way, s.way), r2.Dot(r2.Sub(from, s.from), s.way)
		if k != 0 {
			add(-n / k)
			add((s.length - n) / k)
		}
		if k := r2.Cross(s.way, way); k != 0 { // the line itself
			u := -r2.Cross(s.way, r2.Sub(from, s.from)) / k
			if r(u) < 1e-6 {
				add(u)
			}
		}
	}
	distances := p.breaks()
	var us []float64
	for i, q := range squares {
		if i < len(l.points) { // passing a point
			if u := -q.b / 2; q.c+u*(q.b+u) < passing*passing {
				add(u)
			}
		}
		for _, d := range distances {
			us = q.solve(us[:0], d*d)
			for _, u := range us {
				if is(u, q) {
					add(u)
				}
			}
		}
		if i < len(l.points) {
			us = p.inflections(us[:0], q)
			for _, u := range us {
				if is(u, q) {
					add(u)
				}
			}
		}
		for _, o := range squares[i+1:] {
			us = square{q.a - o.a, q.b - o.b, q.c - o.c}.solve(us[:0], 0)
			for _, u := range us {
				if is(u, q) {
					add(u)
				}
			}
		}
	}
	return ts
}

// inflections appends where P(r) along a straight changes between convex and
// concave, r^2 being the square of the distance from a point: with v along the
// straight and q the closest distance, b q^2 / r^3 + 2 c = 0 for P = a + b r + c r^2.
func (p *rise) inflections(us []float64, s square) []float64 {
	q2 := s.c - s.b*s.b/(4*s.a)
	if q2 <= 0 {
		return us
	}
	for i := range p.spans {
		span := &p.spans[i]
		b := span.slope - 2*span.half*span.d
		cube := -b * q2 / (2 * span.half)
		if span.half == 0 || cube <= 0 {
			continue
		}
		r := math.Cbrt(cube)
		end := math.Inf(1)
		if i+1 < len(p.spans) {
			end = p.spans[i+1].d
		}
		if r >= span.d && r <= end && r*r > q2 {
			us = s.solve(us, r*r)
		}
	}
	return us
}

package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// sample is a place on a contour and the largest disc that touches the contour
// there from inside: its centre is a point of the medial axis.
type sample struct {
	p, normal r2.Vec
	radius    float64
	partner   int // sample nearest to where the disc touches the other side; -1: it doesn't
}

func (s *sample) middle() r2.Vec { return r2.Add(s.p, r2.Scale(s.radius, s.normal)) }

// outlineSamples holds a thin piece's contours as samples and edges.
type outlineSamples struct {
	list  []sample
	edges []sampledEdge
	start []int // first sample of each contour, and the end
}

type sampledEdge struct {
	a, b         r2.Vec
	first, count int // its samples
}

func sampleOutlines(r Region, step float64) *outlineSamples {
	s := &outlineSamples{start: []int{0}}
	for _, c := range r {
		for i, a := range c {
			b := c[polygon.Next(i, len(c))]
			d := r2.Sub(b, a)
			l := r2.Norm(d)
			if l == 0 {
				continue
			}
			normal := r2.Scale(1/l, r2.Vec{X: -d.Y, Y: d.X})
			n := int(math.Ceil(l / step))
			s.edges = append(s.edges, sampledEdge{a, b, len(s.list), n})
			for j := range n {
				t := (float64(j) + 0.5) / float64(n)
				s.list = append(s.list, sample{p: r2.Add(a, r2.Scale(t, d)), normal: normal, partner: -1})
			}
		}
		s.start = append(s.start, len(s.list))
	}
	return s
}

// grow finds each sample's disc by shrinking one of radius most until nothing
// of the boundary lies in it (Ma, Bae and Choi 2012, the shrinking ball).
func (s *outlineSamples) grow(most float64) {
	for i := range s.list {
		v := &s.list[i]
		v.radius = most
		for range 30 { // it converges in a few steps; a bound for rounding's sake
			q, partner := s.nearest(v.middle(), v.radius)
			d := r2.Sub(q, v.p)
			across := r2.Dot(d, v.normal)
			if partner < 0 || across <= 0 {
				break
			}
			v.radius, v.partner = r2.Norm2(d)/(2*across), partner
		}
	}
}

// nearest is the boundary point nearest to c and within radius of it, and the
// sample beside it; -1: there is none.
func (s *outlineSamples) nearest(c r2.Vec, radius float64) (q r2.Vec, partner int) {
	partner = -1
	least := radius - 1e-6
	least *= math.Abs(least)
	for i := range s.edges {
		e := &s.edges[i]
		d := r2.Sub(e.b, e.a)
		t := math.Max(0, math.Min(1, r2.Dot(r2.Sub(c, e.a), d)/r2.Norm2(d)))
		p := r2.Add(e.a, r2.Scale(t, d))
		if d2 := r2.Norm2(r2.Sub(p, c)); d2 < least {
			q, least = p, d2
			partner = e.first + min(int(t*float64(e.count)), e.count-1)
		}
	}
	return q, partner
}

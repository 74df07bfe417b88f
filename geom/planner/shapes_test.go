package planner

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

var centre = r2.Vec{X: 125, Y: 105}

// circle is a contour of n corners about c, counter-clockwise.
func circle(c r2.Vec, r float64, n int) []r2.Vec {
	out := make([]r2.Vec, n)
	for i := range out {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = r2.Vec{X: c.X + r*co, Y: c.Y + r*s}
	}
	return out
}

func hole(c []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(c))
	for i, p := range c {
		out[len(c)-1-i] = p
	}
	return out
}

func box(c r2.Vec, w, h float64) []r2.Vec {
	return []r2.Vec{
		{X: c.X - w/2, Y: c.Y - h/2}, {X: c.X + w/2, Y: c.Y - h/2},
		{X: c.X + w/2, Y: c.Y + h/2}, {X: c.X - w/2, Y: c.Y + h/2},
	}
}

func turned(c []r2.Vec, angle float64) []r2.Vec {
	out := make([]r2.Vec, len(c))
	for i, p := range c {
		out[i] = r2.Rotate(p, angle, centre)
	}
	return out
}

func star(c r2.Vec, points int, outer, inner float64) []r2.Vec {
	out := make([]r2.Vec, 2*points)
	for i := range out {
		r := outer
		if i%2 == 1 {
			r = inner
		}
		s, co := math.Sincos(math.Pi * float64(i) / float64(points))
		out[i] = r2.Vec{X: c.X + r*co, Y: c.Y + r*s}
	}
	return out
}

func off(x, y float64) r2.Vec { return r2.Add(centre, r2.Vec{X: x, Y: y}) }

type shape struct {
	name   string
	region Region
	skin   bool // so thin that the round sides of its outermost beads count
}

// shapes are sections that a planner meets; several are awkward on purpose.
func shapes() []shape {
	return []shape{
		{"square", Region{box(centre, 20, 20)}, false},
		{"turned square", Region{turned(box(centre, 20, 20), 0.3)}, false},
		{"off-axis square", Region{box(off(17, 9), 14, 11)}, false},
		{"disc", Region{circle(centre, 10, 200)}, false},
		{"off-axis disc", Region{circle(off(-14, 3), 8, 160)}, false},
		{"annulus", Region{circle(centre, 15, 300), hole(circle(centre, 9, 200))}, false},
		{"plate with holes", Region{box(centre, 30, 20), hole(circle(off(-8, 2), 3, 60)), hole(circle(off(7, -3), 4, 80))}, false},
		{"two islands", Region{box(off(-10, 0), 8, 12), circle(off(10, 0), 6, 100)}, false},
		{"star", Region{star(centre, 5, 15, 7)}, false},
		{"thin wall", Region{box(centre, 20, 0.5)}, false},
		{"wall for two beads", Region{box(centre, 20, 0.62)}, true},
		{"thin tube", Region{circle(centre, 8, 150), hole(circle(centre, 7.55, 150))}, false},
		{"wedge", Region{{off(-10, -1.6), off(10, -0.1), off(10, 0.1), off(-10, 1.6)}}, true},
		{"fins", Region{box(centre, 8, 8), box(off(8, 0), 12, 0.4), box(off(0, 8), 0.9, 12), box(off(-8, 2), 12, 1.3)}, true},
		{"lying wall", Region{box(centre, 20, 1.5)}, true},
		{"overlapping bodies", Region{box(off(-3, 0), 12, 12), box(off(4, 3), 12, 12)}, false},
	}
}

// testOptions are those of a 45-degree cone with shells of 0.2 mm and beads of
// 0.45 mm (DESIGN 3).
func testOptions() Options {
	const shellHeight, bead = 0.2, 0.45
	h := shellHeight / math.Cos(math.Pi/4)
	o := Options{
		LayerHeight: h,
		BeadArea:    (bead-shellHeight)*shellHeight + math.Pi*shellHeight*shellHeight/4,
		Filament:    1.75,
		Walls:       2, Caps: 4, Fill: 0.15, Axis: centre,
		Speed: 40, TravelSpeed: 120,
	}
	o.Retract.Length, o.Retract.Speed, o.Retract.Lift = 1, 35, 0.4
	return o
}

// planTest is a test of package testing or rapid.
type planTest interface {
	Helper()
	Fatal(...any)
}

// planPrism plans n layers of one section.
func planPrism(t planTest, r Region, n int, o Options) *Motion {
	t.Helper()
	o, err := o.filled()
	if err != nil {
		t.Fatal(err)
	}
	sections := make([]Region, n)
	for i := range sections {
		sections[i] = r
	}
	m, err := planSections(context.Background(), sections, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// volume is what the beads hold, mm3.
func (m *Motion) volume() float64 {
	return m.Filament() * math.Pi / 4 * m.Options.Filament * m.Options.Filament
}

package clearance

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

var middle = r2.Vec{X: 120, Y: 100}

func cone(deg float64, inward bool) field.Field {
	return field.NewCone(deg*math.Pi/180, inward, middle, 0)
}

// wall stacks level beads from (x0, y0) to (x1, y1) up to height z.
func (s *scene) wall(x0, y0, x1, y1, z float64) {
	s.f = field.Field{}
	for c := 0.25; c <= z+1e-9; c += beadHeight {
		s.lay(x0, y0, x1, y1, c)
	}
}

// post builds level rings of radius up to r, up to height z.
func (s *scene) post(axis r2.Vec, r, z float64) {
	s.f = field.Field{}
	for c := 0.25; c <= z+1e-9; c += beadHeight {
		s.ring(axis, r, c)
	}
}

func (s *scene) travel(x, y, z float64) {
	to := s.at
	to.Tip = r3.Vec{X: x, Y: y, Z: z}
	s.step(to, 0, r3.Vec{})
}

func (s *scene) swivel(deg float64) {
	to := s.at
	to.Azimuth += deg * math.Pi / 180
	s.step(to, 0, r3.Vec{})
}

func at(x, y, z float64) machine.Pose { return machine.Pose{Tip: r3.Vec{X: x, Y: y, Z: z}} }

func boxAt(x0, y0, z0, x1, y1, z1 float64) machine.Box {
	return machine.Box{Min: [3]float64{x0, y0, z0}, Max: [3]float64{x1, y1, z1}}
}

// with returns a head with another profile or other boxes.
func with(h machine.Head, profile [][2]float64, boxes ...machine.Box) machine.Head {
	if profile != nil {
		h.Profile = profile
	}
	h.Boxes = boxes
	return h
}

var wide = [][2]float64{{0, 0.3}, {1, 0.8}, {6, 7.5}, {20, 22}, {40, 22}} // wider than it is high: no 45 degrees

// cases are built in pairs: what collides, and what is nearly the same and
// clear. All shapes are invented; that each collides or not follows from
// the distances given, by plain geometry.
var cases = []struct {
	name    string
	head    machine.Head
	clips   []machine.Box
	build   func(s *scene)
	target  Target
	part    Part
	collide bool
}{
	{name: "head too wide for the bed", head: with(tilted(), wide), target: Bed, part: Part{Index: 2}, collide: true,
		build: func(s *scene) { s.f = cone(45, false); s.ring(middle, 10, 11) }},
	{name: "slim head over the bed", head: tilted(),
		build: func(s *scene) { s.f = cone(45, false); s.ring(middle, 10, 11) }},
	{name: "cone too steep for a straight head", head: straight(), target: Material, part: Part{Index: 1}, collide: true,
		build: func(s *scene) { s.f = cone(70, false); s.disc(middle, 6, 9, 26, 3) }},
	{name: "shallow cone under a straight head", head: straight(),
		build: func(s *scene) { s.f = cone(20, false); s.disc(middle, 0.5, 8, 5, 3) }},
	{name: "cone of 45 degrees under a head of 45", head: tilted(),
		build: func(s *scene) { s.f = cone(45, false); s.disc(middle, 0.5, 8, 9, 3) }},
	{name: "inward cone in a narrow bowl", head: tilted(), target: Material, collide: true,
		build: func(s *scene) { s.f = cone(45, true); s.disc(middle, 2, 6, 1, 4) }},
	{name: "inward cone in a wide bowl, ring by ring from the bottom of a tube", head: tilted(),
		build: func(s *scene) { s.f = cone(45, true); s.disc(middle, 45, 46.5, -40, 3) }},
	{name: "second post too near", head: straight(), target: Material, part: Part{Index: 2}, collide: true,
		build: func(s *scene) {
			s.post(middle, 1, 15)
			s.post(r2.Vec{X: 128, Y: 100}, 1, 4)
		}},
	{name: "second post far enough", head: with(straight(), nil),
		build: func(s *scene) {
			s.post(middle, 1, 15)
			s.post(r2.Vec{X: 137, Y: 100}, 1, 4)
		}},
	{name: "second post near but lower than the first cone", head: with(straight(), nil),
		build: func(s *scene) {
			s.post(middle, 1, 1)
			s.post(r2.Vec{X: 128, Y: 100}, 1, 4)
		}},
	{name: "travel through the part", head: straight(), target: Material, part: Part{Index: 1}, collide: true,
		build: func(s *scene) {
			s.wall(110, 100, 130, 100, 6)
			s.over(at(120, 80, 3), 40)
			s.travel(120, 120, 3)
		}},
	{name: "travel over the part", head: straight(),
		build: func(s *scene) {
			s.wall(110, 100, 130, 100, 6)
			s.over(at(120, 80, 6.5), 40)
			s.travel(120, 120, 6.5)
		}},
	{name: "fast travel in one long move through a thin post", head: straight(), target: Material, collide: true, part: Part{Index: 1},
		build: func(s *scene) {
			s.post(middle, 0.5, 8)
			s.over(at(20, 100, 2), 40)
			s.travel(220, 100, 2)
		}},
	{name: "long travel beside a thin post", head: with(straight(), nil),
		build: func(s *scene) {
			s.post(middle, 0.5, 8)
			s.over(at(20, 108, 2), 40)
			s.travel(220, 108, 2)
		}},
	{name: "swivel in place beside a wall", head: tilted(), target: Material, part: Part{Index: 2}, collide: true,
		build: func(s *scene) {
			s.at.Azimuth = -math.Pi / 2 // leans away from the wall
			s.wall(100, 100, 140, 100, 12)
			s.over(at120(-90, 92, 2), 60)
			s.swivel(180)
		}},
	{name: "swivel in place away from the wall", head: tilted(),
		build: func(s *scene) {
			s.at.Azimuth = -math.Pi / 2
			s.wall(100, 100, 140, 100, 12)
			s.over(at120(-90, 92, 2), 60)
			s.swivel(60)
			s.swivel(-120)
		}},
	{name: "swivel right round in one move", head: tilted(), target: Material, part: Part{Index: 2}, collide: true,
		build: func(s *scene) {
			s.at.Azimuth = -math.Pi / 2
			s.wall(119, 100, 121, 100, 12)
			s.over(at120(-90, 92, 2), 60)
			s.swivel(360)
		}},
	{name: "carriage box", head: straight(), target: Material, part: Part{Box: true}, collide: true,
		build: func(s *scene) {
			s.post(middle, 2, 30)
			s.post(r2.Vec{X: 145, Y: 100}, 2, 2)
		}},
	{name: "carriage box over a lower post", head: straight(),
		build: func(s *scene) {
			s.post(middle, 2, 24)
			s.post(r2.Vec{X: 145, Y: 100}, 2, 2)
		}},
	{name: "box that swivels, turned toward a post", head: with(tilted(), nil, boxAt(30, -5, 10, 50, 5, 30)), target: Material, part: Part{Box: true}, collide: true,
		build: func(s *scene) {
			s.at.Azimuth = math.Pi / 2
			s.post(r2.Vec{X: 160, Y: 100}, 1, 14)
			s.over(at120(90, 100, 2), 60)
			s.swivel(-100)
		}},
	{name: "box that swivels, turned away from a post", head: with(tilted(), nil, boxAt(30, -5, 10, 50, 5, 30)),
		build: func(s *scene) {
			s.at.Azimuth = math.Pi / 2
			s.post(r2.Vec{X: 160, Y: 100}, 1, 14)
			s.over(at120(90, 100, 2), 60)
			s.swivel(60)
			s.swivel(-120)
		}},
	{name: "rim of the nozzle in the bed", head: tilted(), target: Bed, part: Part{Index: 0}, collide: true,
		build: func(s *scene) { s.over(at(120, 100, 0.15), 10); s.travel(130, 100, 0.15) }},
	{name: "rim of the nozzle on the bed", head: tilted(),
		build: func(s *scene) { z := 0.3 * math.Sqrt2 / 2; s.over(at(120, 100, z), 10); s.travel(130, 100, z) }},
	{name: "tip under the bed", head: straight(), target: Bed, part: Part{Index: 0}, collide: true,
		build: func(s *scene) { s.over(at(120, 100, -0.05), 10) }},
	{name: "box in the bed", head: with(straight(), nil, boxAt(20, -5, -0.5, 30, 5, 10)), target: Bed, part: Part{Box: true}, collide: true,
		build: func(s *scene) { s.over(at(120, 100, 0.2), 10) }},
	{name: "box over the bed", head: with(straight(), nil, boxAt(20, -5, 0, 30, 5, 10)),
		build: func(s *scene) { s.over(at(120, 100, 0.2), 10) }},
	{name: "bed clip", head: straight(), clips: []machine.Box{boxAt(0, 90, 0, 12, 110, 8)}, target: Obstacle, part: Part{Index: 1}, collide: true,
		build: func(s *scene) { s.over(at(60, 100, 4), 40); s.travel(14, 100, 4) }},
	{name: "bed clip, kept off", head: straight(), clips: []machine.Box{boxAt(0, 90, 0, 12, 110, 8)},
		build: func(s *scene) { s.over(at(60, 100, 4), 40); s.travel(17, 100, 4) }},
	{name: "bed clip met by a swivel", head: tilted(), clips: []machine.Box{boxAt(0, 90, 0, 12, 110, 12)}, target: Obstacle, part: Part{Index: 2}, collide: true,
		build: func(s *scene) { s.over(at(20, 100, 3), 60); s.swivel(180) }},
	{name: "bed clip cleared by a swivel the other way", head: tilted(), clips: []machine.Box{boxAt(0, 90, 0, 12, 110, 12)},
		build: func(s *scene) { s.over(at(22, 100, 3), 60); s.swivel(90); s.swivel(-180) }},
	{name: "thin clip passed in one long move", head: straight(), clips: []machine.Box{boxAt(100, 90, 0, 100.4, 110, 8)}, target: Obstacle, collide: true,
		build: func(s *scene) { s.over(at(10, 100, 4), 40); s.travel(220, 100, 4) }},
	{name: "clip under a travel", head: straight(), clips: []machine.Box{boxAt(100, 90, 0, 100.4, 110, 8)},
		build: func(s *scene) { s.over(at(10, 100, 8.2), 40); s.travel(220, 100, 8.2) }},
	{name: "level foot beside a wall, tilted head leaning into it", head: tilted(), target: Material, part: Part{Index: 2}, collide: true,
		build: func(s *scene) {
			s.wall(130, 80, 130, 120, 15)
			s.over(at(122, 90, 2), 60)
			s.travel(122, 110, 2)
		}},
	{name: "level foot beside a wall, tilted head leaning away", head: tilted(),
		build: func(s *scene) {
			s.at.Azimuth = math.Pi
			s.wall(130, 80, 130, 120, 15)
			s.over(machine.Pose{Tip: r3.Vec{X: 122, Y: 90, Z: 2}, Azimuth: math.Pi}, 60)
			s.travel(122, 110, 2)
		}},
	{name: "descends onto what it printed", head: straight(), target: Material, collide: true, part: Part{Index: 1},
		build: func(s *scene) {
			s.post(middle, 2, 6)
			s.over(at(122, 100, 3), 40)
		}},
	{name: "descends beside what it printed", head: straight(),
		build: func(s *scene) {
			s.post(middle, 2, 6)
			s.over(at(129, 100, 3), 40)
		}},
	{name: "thick roof over the tip, met from below", head: straight(), target: Material, collide: true,
		build: func(s *scene) {
			s.wall(110, 100, 130, 100, 0.2)
			for y := 96.0; y < 104; y += 0.4 {
				s.lay(110, y, 130, y, 9)
			}
			s.over(at(90, 100, 2), 60)
			s.travel(118, 100, 2)
		}},
	{name: "ramp of 45 degrees", head: tilted(),
		build: func(s *scene) {
			s.f = field.NewRamp(math.Pi/4, 0)
			for k := range 4 {
				for i := range 20 {
					x := 110 + 0.32*float64(i)
					s.lay(x, 95, x, 105, 125+0.283*float64(k))
				}
			}
		}},
	{name: "level layers under a straight head", head: straight(),
		build: func(s *scene) { s.f = field.Field{}; s.disc(middle, 0.5, 8, 0.25, 3) }},
	{name: "later material doesn't count before it is there", head: straight(),
		build: func(s *scene) {
			s.over(at(120, 80, 3), 40)
			s.travel(120, 120, 3)
			s.wall(110, 100, 130, 100, 6)
			s.travel(120, 100, 40)
		}},
	{name: "zone of level layers over a cone, wide head", head: straight(),
		build: func(s *scene) {
			s.f = cone(20, false)
			s.disc(middle, 0.5, 10, 5, 4)
			s.zone = 1
			s.f = field.Field{}
			s.disc(middle, 0.5, 5, 6.6, 2)
		}},
	{name: "level foot after a tall wall in the way of the carriage", head: straight(), target: Material, collide: true, part: Part{Box: true},
		build: func(s *scene) {
			s.wall(100, 120, 140, 120, 30)
			s.f = field.Field{}
			s.disc(middle, 0.5, 3, 0.25, 1)
		}},
	{name: "nozzle pulled sideways out of a hole", head: straight(), target: Material, collide: true,
		build: func(s *scene) {
			s.post(middle, 6, 5)
			s.over(at(120, 100, 3.5), 40)
			s.travel(140, 100, 3.5)
		}},
	{name: "nozzle lifted out of a hole", head: straight(),
		build: func(s *scene) {
			s.post(middle, 6, 5)
			s.over(at(120, 100, 3.5), 40)
			s.travel(120, 100, 10)
		}},
}

func at120(azimuthDeg, y, z float64) machine.Pose {
	return machine.Pose{Tip: r3.Vec{X: 120, Y: y, Z: z}, Azimuth: azimuthDeg * math.Pi / 180}
}

func TestBuiltCollisionsAreFoundAndClearCasesAreClear(t *testing.T) {
	hits, clear := 0, 0
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := newScene(t, c.head, c.clips...)
			c.build(s)
			r := s.check()
			if !c.collide {
				clear++
				if len(r.Collisions) > 0 {
					t.Fatalf("false alarm: %v", r.Collisions)
				}
				if r.Least.Distance < -contactTolerance {
					t.Errorf("clear, yet least clearance %+v", r.Least)
				}
				return
			}
			hits++
			for _, f := range r.Collisions {
				if f.Target == c.target && (c.part == Part{} || f.Part == c.part) {
					if f.Line < 1 || f.Line > s.line || f.Moves < 1 || f.Depth <= 0 {
						t.Errorf("odd report: %+v", f)
					}
					return
				}
			}
			t.Fatalf("not found; report %+v", r)
		})
	}
	if hits < 20 || clear < 20 {
		t.Errorf("%d built collisions and %d clear cases: there should be 20 of each", hits, clear)
	}
}

package relief

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// unit returns a random unit vector that points up.
func unit(r *rand.Rand) r3.Vec {
	v := r3.Vec{X: r.NormFloat64() / 2, Y: r.NormFloat64() / 2, Z: 1}
	return r3.Unit(v)
}

// Every point of every bead lies under each bound of the cells over it, and at a
// mark that was set for the bead.
func TestPointsLieUnderTheBounds(t *testing.T) {
	for seed := range 30 {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		var f Relief
		var m Marks
		var beads []Bead
		for zone := range 3 {
			for range 30 {
				from := r3.Vec{X: 120 * (r.Float64() - 0.5), Y: 120 * (r.Float64() - 0.5), Z: 20 * r.Float64()}
				b := Bead{From: from, To: r3.Add(from, r3.Vec{X: 10 * r.NormFloat64(), Y: 10 * r.NormFloat64(), Z: r.NormFloat64()}),
					Radius: 0.1 + 0.2*r.Float64(), Up: unit(r), Zone: zone}
				b.Across = r3.Scale(0.3*r.Float64(), unit(r))
				f.Raise(&b)
				beads = append(beads, b)
			}
		}
		for i := range beads {
			b := &beads[i]
			for range 20 {
				p := r3.Add(b.From, r3.Scale(r.Float64(), r3.Sub(b.To, b.From)))
				p = r3.Add(p, r3.Scale(2*r.Float64()-1, b.Across))
				p = r3.Add(p, r3.Scale(b.Radius*r.Float64(), r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})))
				under(t, &f, p, r)
				m.Mark(int32(math.Floor(p.X)), int32(math.Floor(p.Y)), p.Z, p.Z)
			}
			if !m.Touches(b) {
				t.Fatalf("bead %+v isn't at the marks of its own points", b)
			}
			m = Marks{}
		}
	}
}

// under fails where p, a point of material, isn't under all bounds over it.
func under(t *testing.T, f *Relief, p r3.Vec, r *rand.Rand) {
	t.Helper()
	levels := 0
	from, n := r3.Vec{X: 7, Y: -5, Z: 3}, unit(r)
	f.Ask(p.X, p.Y, 1, func(c *Place) bool {
		if math.Abs(p.X-c.X) > c.Half || math.Abs(p.Y-c.Y) > c.Half {
			return false
		}
		levels++
		m, d := c.Plane(from)
		q := r3.Sub(p, from)
		if p.Z > c.Top || r3.Dot(m, q) > d+1e-4 || r3.Dot(n, q) > c.Along(n, from)+1e-4 {
			t.Fatalf("%v stands out of %+v", p, c)
		}
		return true
	})
	if levels != tileLevels+1 {
		t.Fatalf("%v: %d levels know of it", p, levels)
	}
}

// On a plane the bound is the plane: nothing is lost to the size of the cells.
func TestPlaneIsBoundedByItself(t *testing.T) {
	var f Relief
	up := r3.Unit(r3.Vec{X: -1, Z: 1})
	for y := 0.0; y < 20; y += 0.4 {
		f.Raise(&Bead{From: r3.Vec{X: 5, Y: y, Z: 5}, To: r3.Vec{X: 25, Y: y, Z: 25}, Across: r3.Vec{Y: 0.2}, Radius: 0.1, Up: up})
	}
	asked := 0
	f.Ask(15, 10, 5, func(p *Place) bool {
		asked++
		got := p.Along(up, r3.Vec{})
		if over := got - 0.1; over > 0.01 || over < -0.01 && p.X < 25 { // the height bounds the last cells better

			t.Errorf("%g over the plane at (%g, %g), half %g", got, p.X, p.Y, p.Half)
		}
		return true
	})
	if asked < 100 {
		t.Errorf("%d places asked about", asked)
	}
}

func TestMarksAreWhereTheyWereSet(t *testing.T) {
	var m Marks
	m.Mark(-1, 70, 2, 3.2)
	m.Mark(-1, 70, 2, 3.2)
	if m.Len() != 3 {
		t.Errorf("%d marks", m.Len())
	}
	bead := func(x, y, z float64) *Bead {
		return &Bead{From: r3.Vec{X: x, Y: y, Z: z}, To: r3.Vec{X: x + 0.1, Y: y, Z: z}, Radius: 0.1}
	}
	for _, c := range []struct {
		x, y, z float64
		want    bool
	}{{-0.5, 70.5, 2.5, true}, {-0.5, 70.5, 3.4, true}, {-0.5, 70.5, 4, false}, {-0.5, 70.5, 1, false}, {0.5, 70.5, 2.5, false}, {-0.5, 69.5, 2.5, false}, {0.05, 70.5, 2.5, true}} {
		if got := m.Touches(bead(c.x, c.y, c.z)); got != c.want {
			t.Errorf("(%g, %g, %g): %v", c.x, c.y, c.z, got)
		}
	}
	for _, z := range []float64{-50, 1e4} { // what is out of the layers counts in the outermost
		m.Mark(3, 3, z, z)
		if !m.Touches(bead(3.5, 3.5, z)) {
			t.Errorf("a mark at z = %g is lost", z)
		}
	}
}

func TestFarSpreadReliefGivesUp(t *testing.T) {
	var f Relief
	for i := range 2 * mostTiles {
		x := float64(i) * 64
		f.Raise(&Bead{From: r3.Vec{X: x}, To: r3.Vec{X: x + 1}, Radius: 0.1, Up: r3.Vec{Z: 1}})
	}
	if !f.TooBig() {
		t.Error("there is no end to it")
	}
}

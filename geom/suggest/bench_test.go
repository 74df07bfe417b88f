package suggest

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/machine"
	"conewright/geom/mesh"
)

// dense returns a profile with a point at least every step mm.
func dense(step float64, points ...[2]float64) [][2]float64 {
	var out [][2]float64
	for i, p := range points {
		q := points[(i+1)%len(points)]
		n := max(1, int(math.Ceil(math.Hypot(q[0]-p[0], q[1]-p[1])/step)))
		for k := range n {
			if t := float64(k) / float64(n); i+1 < len(points) || k == 0 || p[0] != 0 || q[0] != 0 {
				out = append(out, [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
			}
		}
	}
	return out
}

// bumpy returns m with its surface pushed about by waves, bed kept.
func bumpy(m *mesh.Mesh, height float64) *mesh.Mesh {
	out := &mesh.Mesh{Facets: m.Facets}
	for _, v := range m.Vertices {
		if v.Z > 0.5 {
			d := height * math.Sin(0.9*v.X) * math.Sin(0.8*v.Y+1) * math.Sin(0.7*v.Z)
			l := math.Hypot(v.X, v.Y) + 1
			v = r3.Vec{X: v.X + d*v.X/l, Y: v.Y + d*v.Y/l, Z: v.Z}
		}
		out.Vertices = append(out.Vertices, v)
	}
	return out
}

// large are parts of about 100,000 facets.
var large = []struct {
	name string
	make func() *mesh.Mesh
}{
	{"bollard", func() *mesh.Mesh {
		return turned(420, dense(0.75, rz{0, 0}, rz{12, 0}, rz{12, 3}, rz{7, 8}, rz{7, 30}, rz{25, 30}, rz{25, 35}, rz{0, 38})...)
	}},
	{"hourglass", func() *mesh.Mesh {
		return turned(330, dense(1.0, rz{30, 0}, rz{33, 0}, rz{10, 16}, rz{10, 34}, rz{33, 50}, rz{30, 50}, rz{8, 35}, rz{8, 14.5})...)
	}},
	{"bumpy vase", func() *mesh.Mesh {
		return bumpy(turned(350, dense(0.9, rz{0, 0}, rz{20, 0}, rz{34, 30}, rz{15, 55}, rz{22, 75}, rz{0, 75})...), 2)
	}},
	{"rim", func() *mesh.Mesh { // no good plan: the longest search
		return turned(370, dense(0.75, rz{0, 0}, rz{7, 0}, rz{7, 30}, rz{22, 30}, rz{22, 22}, rz{25, 22}, rz{25, 35}, rz{0, 35})...)
	}},
}

// Required: 3 s for 100,000 facets on two cores.
func BenchmarkPlans(b *testing.B) {
	for _, p := range large {
		for _, c := range []string{"swivel-45", "straight"} {
			b.Run(fmt.Sprintf("%s/%s", p.name, c), func(b *testing.B) {
				card, _ := machine.Builtin(c)
				m := p.make().Seat(125, 105)
				b.ReportMetric(float64(len(m.Facets)), "facets")
				b.ResetTimer()
				for b.Loop() {
					if _, err := Plans(context.Background(), m, Options{Card: card}, nil); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(len(m.Facets)), "facets")
			})
		}
	}
}

package machine

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// In the machine's frame a point of the part and the tip that touches it are at the
// same place; points of the head keep their distances; an axis stays where the
// matrices of CONTRACT's `rotary` leave it.
func TestBodiesStandWhereTheMatricesBringThem(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 2000 {
		c := anyCard(rng)
		k := NewKinematics(c)
		w := anyWords(rng, k)
		inPart, axis := byMatrices(c, w)
		tip := k.HeadAt(w, r3.Vec{})
		if d := apart(tip, k.BedAt(w.Turn, inPart)); d > 1e-8 {
			t.Fatalf("%+v: the tip stands %g mm from what it touches", c.Rotary, d)
		}
		far := k.HeadAt(w, r3.Scale(30, k.nozzle))
		if d := apart(far, k.BedAt(w.Turn, r3.Add(inPart, r3.Scale(30, axis)))); d > 1e-8 {
			t.Fatalf("%+v: the nozzle's upper end is %g mm off", c.Rotary, d)
		}
		for i, a := range c.Rotary {
			at, about := k.AxisAt(i, w)
			m := identity() // of the axes of the same body before this one
			for j := range i {
				if c.Rotary[j].On == a.On {
					m.Mul(mat.DenseCopyOf(m), matrixOf(&c.Rotary[j], w.Turn[j]))
				}
			}
			want := times(m, vector(a.At), 1)
			if a.On == OnHead {
				want = r3.Add(want, k.reference(w))
			}
			if apart(at, want) > 1e-8 || apart(about, times(m, unit(vector(a.About)), 0)) > 1e-9 {
				t.Fatalf("%+v, axis %d: at %v about %v", c.Rotary, i, at, about)
			}
		}
	}
}

func times(m *mat.Dense, v r3.Vec, one float64) r3.Vec {
	var p mat.VecDense
	p.MulVec(m, mat.NewVecDense(4, []float64{v.X, v.Y, v.Z, one}))
	return r3.Vec{X: p.AtVec(0), Y: p.AtVec(1), Z: p.AtVec(2)}
}

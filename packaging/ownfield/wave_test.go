// Package ownfield holds the program against a kind of field that it doesn't know:
// a wave, made from geom/field's answers alone. Each step from the part to the
// drawing and the file must treat it rightly.
package ownfield

import (
	"errors"
	"math"
	"strings"
	"testing"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// wave is the lift f = height sin(x / length), mm. It bends both ways. Its gradient
// vanishes, and points the other way beyond, where the cosine is 0.
type wave struct{ height, length float64 }

func (w wave) at(x float64) float64    { return w.height * math.Sin(x/w.length) }
func (w wave) slope(x float64) float64 { return w.height / w.length * math.Cos(x/w.length) }

// normal returns the unit normal of the shell z + f = c, pointing up.
func (w wave) normal(x float64) r3.Vec { return r3.Unit(r3.Vec{X: w.slope(x), Z: 1}) }

// middle returns the middle of the bead that a tip lays with the nozzle along d: the
// contract's placement, tip = M + d (h n_z / 2) / (d . n), solved for M in rounds. h is
// the planar layer height, mm.
func (w wave) middle(tip, d r3.Vec, h float64) r3.Vec {
	m := tip
	for range 50 {
		n := w.normal(m.X)
		m = r3.Sub(tip, r3.Scale(h*n.Z/2/r3.Dot(d, n), d))
	}
	return m
}

// answers is what geom/field asks of the kind.
func (w wave) answers() field.Answers {
	steepest := w.height / w.length
	flips := func(p r2.Vec) float64 { // distance from where the gradient vanishes
		return math.Abs(math.Remainder(p.X-w.length*math.Pi/2, w.length*math.Pi))
	}
	return field.Answers{
		Name: "wave", Slope: steepest, Curvature: field.Mixed,
		At:   func(p r2.Vec) float64 { return w.at(p.X) },
		Grad: func(p r2.Vec) r2.Vec { return r2.Vec{X: w.slope(p.X)} },
		Breaks: func(ts []float64, a, b r2.Vec) []float64 {
			if a.X == b.X {
				return ts
			}
			quarter := w.length * math.Pi / 2 // it bends the other way at even ones, and is level at odd ones
			lo, hi := math.Min(a.X, b.X), math.Max(a.X, b.X)
			for k := math.Ceil(lo / quarter); k*quarter < hi; k++ {
				if t := (k*quarter - a.X) / (b.X - a.X); t > 0 && t < 1 {
					ts = append(ts, t)
				}
			}
			return ts
		},
		Bend: func(r2.Vec, float64) float64 { return steepest / w.length },
		Slopes: func(p r2.Vec, radius float64) (least, most float64) {
			here := math.Abs(w.slope(p.X))
			return math.Max(0, here-radius*steepest/w.length), math.Min(steepest, here+radius*steepest/w.length)
		},
		Apart:  flips,
		Crease: func(r2.Vec) float64 { return math.Inf(1) },
	}
}

func (w wave) field(t *testing.T) field.Field {
	t.Helper()
	f, err := field.Own(w.answers())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAKindThatLeavesAnAnswerOutFailsWhenItIsMade(t *testing.T) {
	for name, leave := range map[string]func(a *field.Answers){
		"Name": func(a *field.Answers) { a.Name = "" }, "At": func(a *field.Answers) { a.At = nil },
		"Grad": func(a *field.Answers) { a.Grad = nil }, "Breaks": func(a *field.Answers) { a.Breaks = nil },
		"Bend": func(a *field.Answers) { a.Bend = nil }, "Slopes": func(a *field.Answers) { a.Slopes = nil },
		"Apart": func(a *field.Answers) { a.Apart = nil }, "Crease": func(a *field.Answers) { a.Crease = nil },
		"Slope": func(a *field.Answers) { a.Slope = 0 },
	} {
		a := wave{3, 10}.answers()
		leave(&a)
		if _, err := field.Own(a); !errors.Is(err, field.ErrAnswer) || !strings.Contains(err.Error(), "tell "+name+":") {
			t.Errorf("without %s: %v", name, err)
		}
	}
}

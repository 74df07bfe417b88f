package unwarp_test

import (
	"bytes"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

const tolerance = 0.02

// lay corrects a single bead and returns its pieces as they stand in the file.
func lay(t *rapid.T, card *machine.Card, z *unwarp.Zone, from, to r3.Vec) []readback.Step {
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: tolerance, TravelSpeed: 100})
	c.Begin(nil, "")
	c.Zone(z)
	c.Event(&motion.Event{Kind: motion.Move, From: from, To: to, E: 1, Feed: 2400})
	stats, err := c.End("")
	if err != nil {
		t.Fatal(err)
	}
	var steps []readback.Step
	err = readback.Steps(&out, card, readback.Span{First: stats.First, Last: stats.Last}, func(s *readback.Step) error {
		if s.Lays() {
			steps = append(steps, *s)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return steps
}

// drawField draws a field whose axis is near the origin.
func drawField(t *rapid.T) field.Field {
	angle := rapid.Float64Range(5, 50).Draw(t, "angle") * math.Pi / 180
	if rapid.IntRange(0, 4).Draw(t, "kind") == 0 {
		return field.NewRamp(angle, rapid.Float64Range(-4, 4).Draw(t, "toward"))
	}
	round := rapid.SampledFrom([]float64{0, 0, 0.5, 1, 5}).Draw(t, "round")
	return field.NewCone(angle, rapid.Bool().Draw(t, "inward"), r2.Vec{X: 100, Y: 100}, round)
}

// drawPlace draws a place in a square of 60 mm about the axis, in thousandths
// as files have them.
func drawPlace(t *rapid.T, name string) r3.Vec {
	return r3.Vec{
		X: float64(rapid.IntRange(70000, 130000).Draw(t, name+" x")) / 1000,
		Y: float64(rapid.IntRange(70000, 130000).Draw(t, name+" y")) / 1000,
		Z: 400,
	}
}

// Samples of the corrected polyline lie within
// tolerance of the exact curve, the azimuth errs by at most 5 degrees between
// cuts, and there are at most 1.3 times the fewest pieces that both allow.
func TestBeadsStayOnTheirShellInFewPieces(t *testing.T) {
	cards := []string{"swivel-45", "straight"}
	rapid.Check(t, func(t *rapid.T) {
		card, _ := machine.Builtin(rapid.SampledFrom(cards).Draw(t, "card"))
		f := drawField(t)
		from, to := drawPlace(t, "from"), drawPlace(t, "to")
		if r3.Norm(r3.Sub(from, to)) < 0.01 {
			return
		}
		z := unwarp.Zone{Name: "z", Field: f, LayerHeight: 0.2, Drop: 0}
		steps := lay(t, card, &z, from, to)
		if len(steps) == 0 {
			t.Fatal("no bead written")
		}
		for i := range steps {
			samplePiece(t, card, &f, &steps[i], 400, 1000/len(steps)+2)
		}
		fewest := fewestPieces(card, &f, flat(from), flat(to))
		if most := int(math.Ceil(1.3 * float64(fewest))); len(steps) > most {
			t.Errorf("%d pieces, %d are enough", len(steps), fewest)
		}
	})
}

func flat(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

// samplePiece compares a piece with the shell z = c - f and with the azimuth.
func samplePiece(t *rapid.T, card *machine.Card, f *field.Field, s *readback.Step, c float64, n int) {
	for i := 0; i <= n; i++ {
		k := float64(i) / float64(n)
		p := r3.Add(s.From.Tip, r3.Scale(k, r3.Sub(s.To.Tip, s.From.Tip)))
		if off := math.Abs(p.Z - (c - f.At(flat(p)))); off > tolerance {
			t.Fatalf("line %d: %.5f mm off the shell at %v", s.Line, off, p)
		}
		want, ok := f.Azimuth(flat(p))
		if card.Swivel == nil || !ok || f.Within(flat(p), 0.06) {
			continue // a bead that passes within 0.005 mm is broken on the axis
		}
		have := s.From.Azimuth + k*(s.To.Azimuth-s.From.Azimuth)
		if off := math.Abs(math.Remainder(have-want, 2*math.Pi)) * 180 / math.Pi; off > 5 {
			t.Fatalf("line %d: azimuth %.3f degrees off at %v", s.Line, off, p)
		}
	}
}

// fewestPieces cuts greedily by dense sampling, without the closed forms:
// plainly right, and slow.
func fewestPieces(card *machine.Card, f *field.Field, a, b r2.Vec) int {
	at := func(t float64) r2.Vec { return r2.Add(a, r2.Scale(t, r2.Sub(b, a))) }
	fits := func(t0, t1 float64) bool {
		p, q := at(t0), at(t1)
		f0, f1 := f.At(p), f.At(q)
		a0, ok0 := f.Azimuth(p)
		a1, ok1 := f.Azimuth(q)
		turn := math.Remainder(a1-a0, 2*math.Pi)
		for k := 0.0; k <= 1; k += 1.0 / 64 {
			m := at(t0 + k*(t1-t0))
			if math.Abs(f.At(m)-(f0+k*(f1-f0))) > tolerance {
				return false
			}
			want, ok := f.Azimuth(m)
			if card.Swivel != nil && ok && ok0 && ok1 && math.Abs(math.Remainder(want-a0-k*turn, 2*math.Pi)) > 5*math.Pi/180 {
				return false
			}
		}
		return true
	}
	n := 0
	for t := 0.0; t < 1; n++ {
		if fits(t, 1) {
			return n + 1
		}
		lo, hi := t, 1.0
		for hi-lo > 1e-9 {
			if mid := (lo + hi) / 2; fits(t, mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		if lo <= t {
			lo = hi
		}
		t = lo
	}
	return n
}

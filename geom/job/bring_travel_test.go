package job

import (
	"math"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// printed keeps how high beads lie, in small cells: a plain, slow truth.
type printed struct {
	cell float64
	top  map[[2]int32]float64
}

func (p *printed) at(v r3.Vec) [2]int32 {
	return [2]int32{int32(math.Floor(v.X / p.cell)), int32(math.Floor(v.Y / p.cell))}
}

// along calls f at places of a step that are a cell apart.
func (p *printed) along(a, b r3.Vec, f func(v r3.Vec)) {
	n := math.Ceil(r3.Norm(r3.Sub(b, a))/p.cell) + 1
	for i := 0.0; i <= n; i++ {
		f(r3.Add(a, r3.Scale(i/n, r3.Sub(b, a))))
	}
}

// A travel never leads through what was printed before it, whatever the source
// did: hops, wipes and straight lines that were safe on level layers.
func TestTravelsStayAboveThePrint(t *testing.T) {
	for i, c := range []struct{ part, machine, field string }{
		{"bollard", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}`},
		{"gantry", "swivel-45", `{"kind":"ramp","angle":45,"toward":0}`},
		{"hopper", "swivel-45", `{"kind":"cone","grow":"inward","angle":45,"axis":[125,105]}`},
		{"davit", "straight", `{"kind":"cone","grow":"outward","angle":15,"axis":[110.5,105]}`},
		{"cleat", "swivel-45-wired", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}`},
	} {
		if testing.Short() && i > 0 {
			break
		}
		p := prepare(t, partJob(t, c.part, c.machine, c.field))
		n := &p.regions[0].Numbers
		for _, k := range []int{1, 2, 4} {
			if testing.Short() && k > 1 {
				break
			}
			d := dialects[k]
			t.Run(c.part+"/"+d.name, func(t *testing.T) {
				file := d.slice(p.regions[0].Warped, n.LayerHeight, n.LineWidth, r2.Vec{X: 9, Y: -5})
				r := p.bring(t, FromCard, map[string][]byte{"z": file.text})
				expectBrought(t, r, r2.Vec{X: 9, Y: -5}, &file)
				travels, lifted := expectAbove(t, r)
				t.Logf("%d source moves, %d pieces of travels, %d travels over the part, %d pieces off their shell", r.stats.SourceMoves, travels, r.stats.Zones[0].Replanned, lifted)
			})
		}
	}
}

// expectAbove checks every travel of a corrected file.
func expectAbove(t *testing.T, r *run) (travels, lifted int) {
	t.Helper()
	f, err := r.files.Open(CorrectedName)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p := printed{0.2, map[[2]int32]float64{}}
	field := &r.result.Regions[0].Field
	slack := p.cell*math.Sqrt2*field.Slope() + 0.03
	faults, shell := 0, 0.0
	c := func(pose machine.Pose) float64 {
		return pose.Tip.Z + field.At(r2.Vec{X: pose.Tip.X, Y: pose.Tip.Y})
	}
	err = readback.Steps(f, r.setup.Machine.Card, readback.Span{First: r.stats.First, Last: r.stats.Last}, func(s *readback.Step) error {
		if !s.Known || s.From.Tip == s.To.Tip {
			return nil
		}
		if s.Lays() {
			shell = c(s.To)
			p.along(s.From.Tip, s.To.Tip, func(v r3.Vec) {
				k := p.at(v)
				p.top[k] = math.Max(p.top[k], v.Z)
			})
			return nil
		}
		travels++
		if c(s.To) > shell+0.1 {
			lifted++
		}
		p.along(s.From.Tip, s.To.Tip, func(v r3.Vec) {
			if top, ok := p.top[p.at(v)]; ok && v.Z < top-slack {
				if faults++; faults < 5 {
					t.Errorf("line %d: a travel at %.2f leads %.3f mm under what is printed there", s.Line, v, top-v.Z)
				}
			}
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return travels, lifted
}

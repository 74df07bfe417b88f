package window

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"conewright/app/pictures"
	"conewright/geom/form"
	"conewright/geom/job"
	"conewright/geom/mesh"

	"fyne.io/fyne/v2"
	"gonum.org/v1/gonum/spatial/r3"
)

// openMushroom opens a stem of 4 mm, 5 mm high, with a cap of 12 mm on it.
func (b *bench) openMushroom() {
	b.t.Helper()
	block := func(half, low, high float64) *mesh.Mesh {
		return form.Box(r3.Vec{X: -half, Y: -half, Z: low}, r3.Vec{X: half, Y: half, Z: high})
	}
	var out bytes.Buffer
	if err := mesh.WriteSTL(&out, form.Joined(block(2, 0, 5.5), block(6, 5, 7))); err != nil {
		b.t.Fatal(err)
	}
	file := filepath.Join(b.dir, "mushroom.stl")
	if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
		b.t.Fatal(err)
	}
	b.Open(file)
	b.judged()
}

// A cap, 5 mm up and 4 mm wider than its stem all round, hangs in level layers and not
// in an outward cone's shells. What hangs comes with the beads of the cap.
func TestLevelLayersGrowBesideThePlan(t *testing.T) {
	b := newBench(t)
	b.openMushroom()
	b.do("step.field", func(s *job.Setup) {
		seat := *s.Part.Seat
		s.Zones.Field = &job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: 45, Axis: &seat}
	})
	b.judged()
	b.key(fyne.KeyF8)
	if b.pane.open == nil || b.pane.open.key != "beside" {
		t.Fatal("the key opens nothing")
	}
	b.until("both prints", func() bool {
		if g := b.session.Growth(); g != nil && g.Err != nil {
			t.Fatal(g.Err)
		}
		return b.beside.growth != nil
	})
	level, plan := b.beside.halves[0].printed, b.beside.halves[1].printed
	if l, p := level.Scene.Log.Motion.Hanging, plan.Scene.Log.Motion.Hanging; l < 20 || p > l/2 {
		t.Errorf("%.0f mm hang in level layers, %.0f in the plan", l, p)
	}
	hanging := func(p *pictures.Printed, share float64) (mm float64, lowest float64) {
		laid, head := p.Track.At(share * p.Track.Seconds())
		if head == nil {
			t.Fatal("no head")
		}
		lowest = math.Inf(1)
		for _, h := range laid.Hanging {
			for i := 1; i < len(h.Points); i++ {
				mm += r3.Norm(r3.Sub(h.Points[i], h.Points[i-1]))
				lowest = math.Min(lowest, h.Points[i].Z)
			}
		}
		return mm, lowest
	}
	if early, _ := hanging(level, 0.1); early != 0 {
		t.Errorf("%.0f mm hang before the cap begins", early)
	}
	if _, lowest := hanging(level, 1); lowest < 4.9 || lowest > 6 {
		t.Errorf("what hangs begins at %.1f mm, the cap at 5", lowest)
	}
	b.beside.player.slider.SetValue(0.5 * b.beside.player.slider.Max)
	b.until("both pictures", func() bool { return !b.beside.player.film.busy() })
	b.key(fyne.KeyF8)
	if b.pane.open != nil || !b.sheet.Visible() || b.beside.growth != nil {
		t.Error("the key doesn't lead back")
	}
}

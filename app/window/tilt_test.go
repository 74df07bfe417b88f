package window

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/job"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestACutIsTiltedByANumber(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	cut := func() *job.Cut { return cutUnder(b.session.Setup(), b.zones.chosen) }
	field := b.zones.cutTilt
	if field.Text != "0.0" {
		t.Errorf("a new cut tilts by %q", field.Text)
	}
	for typed, want := range map[string][3]float64{"30": {0.5, 0, math.Sqrt(3) / 2}, "-90": {-1, 0, 0}, "375": {math.Sin(math.Pi / 12), 0, math.Cos(math.Pi / 12)}} {
		field.SetText(typed)
		field.take()
		got := cut().Normal
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-9 {
				t.Errorf("%s° gives the normal %v, not %v", typed, got, want)
				break
			}
		}
	}
	b.tiltCut(0, -10*math.Pi/180) // a drag from the number that was typed last
	b.session.EndPreview("step.tilt")
	if got := tiltOf(cut()); math.Abs(got-math.Round(got)) > 1e-9 {
		t.Errorf("dragged, it tilts by %g°", got)
	}
}

// TestAPlaceBelongsToTheZoneWhoseMeshHoldsIt cuts one of two posts alone: what of the
// other stands as high belongs to the zone under the cut.
func TestAPlaceBelongsToTheZoneWhoseMeshHoldsIt(t *testing.T) {
	b := newBench(t)
	b.openPosts()
	b.do("step.addcut", func(s *job.Setup) {
		splitLeaf(s, s.Zones.Name, [3]float64{s.Part.Seat[0], s.Part.Seat[1], 8})
		s.Zones.Cut.Only = &[3]float64{s.Part.Seat[0] - 10, s.Part.Seat[1], 12}
	})
	s := b.session.Setup()
	b.until("zones", func() bool { f := b.session.Facts(); return f.Setup == s && f.Judged })
	leaves := s.Zones.Leaves()
	for x, want := range map[float64]string{-10: leaves[1].Name, 10: leaves[0].Name} {
		if got := b.zoneAt(s, r3.Vec{X: s.Part.Seat[0] + x, Y: s.Part.Seat[1], Z: 12}); got != want {
			t.Errorf("at x %+g: %s, not %s", x, got, want)
		}
	}
}

func TestARecentFileThatIsGoneIsSaidInASentence(t *testing.T) {
	b := newBench(t)
	b.openPart()
	gone := filepath.Join(b.dir, "spindle.stl")
	if err := os.Remove(gone); err != nil {
		t.Fatal(err)
	}
	b.menu.recent.ChildMenu.Items[0].Action()
	if !b.asking || len(b.settings.Recent) != 0 {
		t.Errorf("a dialog is open: %v, the list is %q", b.asking, b.settings.Recent)
	}
	if text := errorText(goneError{gone}); !strings.Contains(text, "spindle.stl isn’t in "+b.dir) || strings.Count(text, "\n") > 0 {
		t.Errorf("it says %q", text)
	}
	press(b, fyne.KeyEscape)
}

func TestACutIsLimitedToOnePiece(t *testing.T) {
	b := newBench(t)
	b.openPosts()
	seat := *b.session.Setup().Part.Seat
	edit := b.editOnSheet()
	edit.AddCut(r3.Vec{X: seat[0] + 10, Y: seat[1], Z: 8})
	figures := func() { b.until("figures", func() bool { return b.session.Judged() }) }
	figures()
	volume := func() float64 { return b.session.Facts().Regions[1].Mesh.Volume() }
	both := volume()
	b.zones.only.SetChecked(true)
	figures()
	if got := volume(); math.Abs(got-both/2) > 1e-6*both {
		t.Errorf("one of two equal posts over the cut holds %g mm3, both %g", got, both)
	}
	b.zones.only.SetChecked(false)
	figures()
	if cut := b.session.Setup().Zones.Cut; cut.Only != nil || math.Abs(volume()-both) > 1e-6*both {
		t.Errorf("limited no more, the cut takes %g of %g mm3 at %v", volume(), both, cut.Only)
	}
	for _, x := range []float64{-10, 10} {
		p := r3.Vec{X: seat[0] + x, Y: seat[1], Z: 12}
		b.onSheetItems(drawing.Item{}, p, drawing.Elevation)[1].Action()
		figures()
		if box := b.session.Facts().Regions[1].Mesh.Bounds(); !(box.Min.X < p.X && p.X < box.Max.X) || box.Max.X-box.Min.X > 7 {
			t.Errorf("limited at x %+g, the zone reaches from %g to %g", x, box.Min.X, box.Max.X)
		}
		if !b.zones.only.Checked {
			t.Error("the page doesn't say so")
		}
		b.session.Undo()
		figures()
	}
}

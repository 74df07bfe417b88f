package render_test

import (
	"slices"
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sheetWords returns the words of frame, title block and key.
func sheetWords(d *drawing.Drawing) []string {
	var words []string
	for _, t := range d.Texts {
		if t.View == drawing.Sheet {
			words = append(words, t.Words)
		}
	}
	return words
}

func TestTheKeyExplainsWhatIsOnTheSheetAndNothingElse(t *testing.T) {
	all := []string{"shell", "bead laid", "hangs free", "bridged", "mid-air start", "finding", "cut, prints later", "axis", "hidden edge", "head"}
	bridge := looks()["bridge"]
	plain := level()
	plain.Overhang, plain.MidAir, plain.Options.Hidden, plain.Options.NoShells = nil, nil, false, true
	framed := bridge
	framed.Options.NoFrame = true
	for name, c := range map[string]struct {
		in   render.Input
		want []string
	}{
		"bridge":   {bridge, []string{"shell", "hangs free", "bridged", "mid-air start", "finding", "cut, prints later", "hidden edge"}},
		"bollard":  {bollard(), []string{"shell", "axis", "hidden edge", "head"}},
		"zones":    {zones(), []string{"shell", "cut, prints later", "axis", "hidden edge"}},
		"laid":     {looks()["laid"], []string{"shell", "bead laid", "axis", "head"}},
		"nothing":  {plain, nil},
		"no frame": {framed, nil},
	} {
		for _, size := range []r2.Vec{{}, {X: 210, Y: 148.5}, {X: 258, Y: 190}} { // every place of the key
			c.in.Options.Size, c.in.Options.Coarse = size, true
			words := sheetWords(render.Sheet(c.in))
			for _, w := range all {
				if got, want := slices.Contains(words, w), slices.Contains(c.want, w); got != want {
					t.Errorf("%s on %v: the key says %q: %v", name, size, w, got)
				}
			}
		}
	}
}

// TestNothingIsDrawnUnderTheKey zooms in until the part fills its views.
func TestNothingIsDrawnUnderTheKey(t *testing.T) {
	for _, size := range []r2.Vec{{X: 420, Y: 297}, {X: 210, Y: 148.5}, {X: 258, Y: 190}} {
		for _, only := range drawing.Views() {
			in := looks()["bridge"]
			in.Options.Size, in.Options.Only, in.Options.Coarse = size, only, true
			in.View.Zoom, in.Flat.Zoom = 4, 4
			d := render.Sheet(in)
			var key drawing.Rect
			for _, l := range d.Lines { // the greatest box of thin rules
				if l.View == drawing.Sheet && l.Pen == drawing.Rule && l.Closed {
					if r := (drawing.Rect{Min: l.Points[0], Max: l.Points[2]}); r.Width() > key.Width() {
						key = r
					}
				}
			}
			if key.Width() == 0 {
				t.Fatalf("%v %v: no key", size, only)
			}
			for _, l := range d.Lines {
				for _, p := range l.Points {
					if l.View != drawing.Sheet && key.Contains(p) {
						t.Fatalf("%v %v: a line of the %v runs through the key at %v", size, only, l.View, p)
					}
				}
			}
		}
	}
}

func TestAViewAloneIsLargerAndTheOthersAreGone(t *testing.T) {
	in := zones()
	in.Options.Coarse = true
	all := render.Sheet(in)
	for _, v := range []drawing.View{drawing.Elevation, drawing.Plan, drawing.Pictorial} {
		in.Options.Only = v
		d := render.Sheet(in)
		if len(d.Frames) != 1 || d.Frames[0].View != v {
			t.Fatalf("%v: %d views", v, len(d.Frames))
		}
		f, before := d.Frames[0], (*drawing.ViewFrame)(nil)
		before, _ = all.FrameOf(v)
		if f.Scale < before.Scale || f.Rect.Width() <= before.Rect.Width() {
			t.Errorf("%v: scale %g after %g, %g mm wide after %g", v, f.Scale, before.Scale, f.Rect.Width(), before.Rect.Width())
		}
		for _, p := range []r3.Vec{{X: 98, Y: 78}, {X: 152, Y: 132, Z: 45}} { // the part's corners
			if !f.Rect.Contains(f.Paper(p)) {
				t.Errorf("%v: %v lies outside", v, p)
			}
		}
		for _, l := range d.Lines {
			if l.View != drawing.Sheet && l.View != v {
				t.Fatalf("%v alone has lines of the %v", v, l.View)
			}
		}
	}
}

// TestShellsAreLeftOutAlone holds that the section stays through the axis.
func TestShellsAreLeftOutAlone(t *testing.T) {
	in := zones()
	in.Options.Coarse = true
	f, _ := render.Sheet(in).FrameOf(drawing.Elevation)
	in.Options.NoShells = true
	d := render.Sheet(in)
	g, _ := d.FrameOf(drawing.Elevation)
	if f.Focus != g.Focus {
		t.Errorf("the section went from y = %g to %g", f.Focus.Y, g.Focus.Y)
	}
	axes := 0
	for _, l := range d.Lines {
		if l.Pen == drawing.Shell {
			t.Fatalf("a shell in the %v", l.View)
		}
		if l.Pen == drawing.Axis {
			axes++
		}
	}
	if axes == 0 {
		t.Error("the axis went with the shells")
	}
}

func TestAZoomedViewGetsABorderAndNoOther(t *testing.T) {
	framed := func(in render.Input) (views []drawing.View) {
		in.Options.Coarse = true
		d := render.Sheet(in)
		for _, l := range d.Lines {
			f, ok := d.FrameOf(l.View)
			if ok && l.Closed && l.Points[0] == f.Rect.Min && l.Points[2] == f.Rect.Max {
				views = append(views, l.View)
			}
		}
		return views
	}
	for name, in := range scenes() {
		if got := framed(in); len(got) != 0 {
			t.Errorf("%s: %v have a border", name, got)
		}
	}
	in := bollard()
	in.View.Zoom = 3
	if got := framed(in); !slices.Equal(got, []drawing.View{drawing.Pictorial}) {
		t.Errorf("the pictorial view is zoomed, and %v have a border", got)
	}
	in = bollard()
	in.Flat.Zoom = 4
	if got := framed(in); !slices.Equal(got, []drawing.View{drawing.Elevation, drawing.Plan}) {
		t.Errorf("elevation and plan are zoomed, and %v have a border", got)
	}
}

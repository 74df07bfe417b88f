package render_test

import (
	"math"
	"testing"

	"conewright/geom/machine"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/internal/shape"

	"gonum.org/v1/gonum/spatial/r3"
)

// stacked is a cylinder in level shells, printed to half its height: beads round
// its wall, and one straight across each shell.
func stacked() render.Input {
	const radius, height, layer = 10, 20, 0.2
	in := render.Input{
		Mesh:    shape.Revolve(center, 96, [2]float64{0, 0}, [2]float64{radius, 0}, [2]float64{radius, height}, [2]float64{0, height}),
		Zones:   []render.Zone{{Name: "all"}},
		Shell:   layer,
		View:    render.View{Azimuth: -90 * degree, Elevation: 30 * degree, Set: true},
		Options: render.Options{Hidden: true},
	}
	for k := 1; k <= height/layer/2; k++ {
		z := layer * float64(k)
		var ring []r3.Vec
		for a := 0.; a <= 360; a += 5 {
			sin, cos := math.Sincos(a * degree)
			ring = append(ring, r3.Vec{X: center.X + (radius-0.225)*cos, Y: center.Y + (radius-0.225)*sin, Z: z})
		}
		across := []r3.Vec{{X: center.X - 8, Y: center.Y, Z: z}, {X: center.X + 8, Y: center.Y, Z: z}}
		in.Beads = append(in.Beads, ring, across)
	}
	in.Counts = []int{len(in.Beads)}
	return in
}

func TestBeadsHideEachOther(t *testing.T) {
	d := render.Sheet(stacked())
	f, ok := d.FrameOf(drawing.Pictorial)
	if !ok {
		t.Fatal("no pictorial view")
	}
	top := f.Paper(r3.Vec{X: center.X, Y: center.Y, Z: 10}).Y
	back := f.Paper(r3.Vec{X: center.X, Y: center.Y + 10, Z: 10}).Y
	front := f.Paper(r3.Vec{X: center.X, Y: center.Y - 10, Z: 5}).Y
	across, lower := 0, 0
	for _, l := range d.Lines {
		if l.View != drawing.Pictorial || l.Pen != drawing.Bead {
			continue
		}
		for i, p := range l.Points {
			if p.Y < back-0.5 {
				t.Fatalf("a bead shows at %v, over the newest shell's back at %v", p, back)
			}
			if p.Y > front {
				lower++
			}
			if i > 0 && math.Abs(p.Y-l.Points[i-1].Y) < 1e-6 && math.Abs(p.X-l.Points[i-1].X) > 0.1 && math.Abs(p.Y-top) < 2 {
				across++
			}
		}
	}
	if lower == 0 {
		t.Error("no bead shows on the front wall")
	}
	if across == 0 {
		t.Error("the newest shell's bead doesn't show")
	}
}

// TestWhatIsUnderTheNewestShellIsHidden counts the beads across shells: only the
// newest ones lie open.
func TestWhatIsUnderTheNewestShellIsHidden(t *testing.T) {
	in := stacked()
	in.Head = nil
	d := render.Sheet(in)
	f, _ := d.FrameOf(drawing.Pictorial)
	step := f.Scale * 0.2 * math.Cos(30*degree) // from shell to shell on paper
	top := f.Paper(r3.Vec{X: center.X, Y: center.Y, Z: 10})
	shown := map[int]bool{}
	for _, l := range d.Lines {
		if l.View != drawing.Pictorial || l.Pen != drawing.Bead || len(l.Points) < 2 {
			continue
		}
		a, b := l.Points[0], l.Points[len(l.Points)-1]
		if straight := math.Abs(a.Y-b.Y) < 1e-6 && math.Abs(a.X-b.X) > 8*f.Scale; straight {
			shown[int(math.Round((a.Y-top.Y)/step))] = true
		}
	}
	if !shown[0] || len(shown) > 2 {
		t.Errorf("beads across are shown of the shells %v under the newest", shown)
	}
}

func TestTheSectionFillsAsThePartGrows(t *testing.T) {
	in := stacked()
	d := render.Sheet(in)
	f, _ := d.FrameOf(drawing.Elevation)
	newest, top, shells := f.Paper(r3.Vec{Z: 10}).Y, f.Paper(r3.Vec{Z: 20}).Y, 0
	for _, l := range d.Lines {
		if l.View != drawing.Elevation || l.Pen != drawing.Shell {
			continue
		}
		shells++
		for _, p := range l.Points {
			if p.Y < newest-0.01 {
				t.Fatalf("a shell at %v over the newest at %v (the part's top is at %v)", p.Y, newest, top)
			}
		}
	}
	if shells == 0 {
		t.Error("no shells of what is printed")
	}
}

func TestTheHeadShowsItsBoxes(t *testing.T) {
	reach := func(boxes ...machine.Box) (right float64) {
		in := bollard()
		in.Head.Tip.X = 115
		in.Head.Shape.Boxes = boxes
		d := render.Sheet(in)
		for _, l := range d.Lines {
			for _, p := range l.Points {
				if l.View == drawing.Elevation && l.Pen == drawing.Head {
					right = math.Max(right, p.X)
				}
			}
		}
		f, _ := d.FrameOf(drawing.Elevation)
		return f.World(drawing.Rect{}.Min).X + right/f.Scale - in.Head.Tip.X
	}
	box := machine.Box{Min: [3]float64{-5, -5, 10}, Max: [3]float64{40, 5, 20}}
	if without, with := reach(), reach(box); without > 39 || math.Abs(with-40) > 0.1 {
		t.Errorf("the head reaches %.2f mm to its lean, with a box to 40 mm %.2f", without, with)
	}
}

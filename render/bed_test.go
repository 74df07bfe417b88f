package render_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// grounds returns the lines of the bed's pen in a view, and how many are accented.
func grounds(d *drawing.Drawing, v drawing.View) (all []drawing.Line, accented int) {
	for _, l := range d.Lines {
		if l.View == v && l.Pen == drawing.Ground {
			all = append(all, l)
			if l.Tone == drawing.Accent {
				accented++
			}
		}
	}
	return all, accented
}

func beyondText(d *drawing.Drawing) string {
	for _, t := range d.Texts {
		if strings.HasPrefix(t.Words, "beyond the travel") {
			return t.Words
		}
	}
	return ""
}

// TestThePlanShowsWhereTheTravelEnds moves the travel against a part that reaches
// from 98 to 152 mm in x, 78 to 132 in y and 45 in z.
func TestThePlanShowsWhereTheTravelEnds(t *testing.T) {
	inf := math.Inf(1)
	box := func(x0, y0, x1, y1, z float64) r3.Box {
		return r3.Box{Min: r3.Vec{X: x0, Y: y0}, Max: r3.Vec{X: x1, Y: y1, Z: z}}
	}
	for name, c := range map[string]struct {
		travel   r3.Box
		says     string
		accented int // edges in plan
	}{
		"inside":         {box(0, 0, 250, 210, 200), "", 0},
		"just inside":    {box(98, 78, 152, 132, 45), "", 0},
		"right":          {box(0, 0, 140, 210, 200), "beyond the travel: x 12.0 mm", 1},
		"left and front": {box(100, 80, 250, 210, 200), "beyond the travel: x 2.0 mm, y 2.0 mm", 2},
		"too high":       {box(0, 0, 250, 210, 40), "beyond the travel: z 5.0 mm", 0},
		"belt":           {box(0, -inf, 250, inf, 200), "", 0},
	} {
		in := onBed()
		in.Bed = &render.Bed{Travel: c.travel}
		d := render.Sheet(in)
		if got := beyondText(d); got != c.says {
			t.Errorf("%s: the sheet says %q, not %q", name, got, c.says)
		}
		if _, n := grounds(d, drawing.Plan); n != c.accented {
			t.Errorf("%s: %d edges of the travel are accented, not %d", name, n, c.accented)
		}
		for _, l := range d.Lines {
			for _, p := range l.Points {
				if math.IsNaN(p.X) || math.IsNaN(p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
					t.Fatalf("%s: a line at %v", name, p)
				}
			}
		}
	}
}

// TestAnEdgeOfTheTravelIsDrawnToScale compares with the part's own outline.
func TestAnEdgeOfTheTravelIsDrawnToScale(t *testing.T) {
	d := render.Sheet(onBed())
	f, _ := d.FrameOf(drawing.Plan)
	want := f.Origin.X + f.Scale*(140-125) // the plan looks at the part's middle
	lines, _ := grounds(d, drawing.Plan)
	if !slices.ContainsFunc(lines, func(l drawing.Line) bool {
		return math.Abs(l.Points[0].X-want) < 1e-6 && math.Abs(l.Points[1].X-want) < 1e-6
	}) {
		t.Errorf("no edge at %g mm", want)
	}
}

func TestTheKeyNamesTheBedOnlyWhereItIsSeen(t *testing.T) {
	bare, seen, far := level(), onBed(), onBed()
	far.Bed = &render.Bed{Travel: r3.Box{Max: r3.Vec{X: 250, Y: 210, Z: 200}}}
	far.Options.Only = drawing.Plan // alone there is no view of the whole bed
	for name, c := range map[string]struct {
		in            render.Input
		end, obstacle bool
	}{"no bed": {bare, false, false}, "at its end": {seen, true, true}, "far from its end": {far, false, false}} {
		c.in.Options.Size = r2.Vec{X: 210, Y: 148.5}
		words := sheetWords(render.Sheet(c.in))
		if got := slices.Contains(words, "end of travel"); got != c.end {
			t.Errorf("%s: the key names the end of travel: %v", name, got)
		}
		if got := slices.Contains(words, "obstacle"); got != c.obstacle {
			t.Errorf("%s: the key names obstacles: %v", name, got)
		}
	}
}

// TestTheWholeBedKeepsClearOfThePictorialView zooms until there is no room left.
func TestTheWholeBedKeepsClearOfThePictorialView(t *testing.T) {
	shown := 0
	for _, zoom := range []float64{0.5, 1, 1.5, 3} {
		in := onBed()
		in.View.Zoom = zoom
		d := render.Sheet(in)
		lines, _ := grounds(d, drawing.Pictorial)
		if len(lines) == 0 {
			continue
		}
		shown++
		left, low := math.Inf(1), math.Inf(-1)
		for _, l := range lines {
			for _, p := range l.Points {
				left, low = min(left, p.X), max(low, p.Y)
			}
		}
		inside := 0 // of the part's own outline on the bed
		for _, l := range d.Lines {
			if l.View != drawing.Pictorial || l.Pen == drawing.Ground || l.Tone == drawing.Accent {
				continue
			}
			for _, p := range l.Points {
				if p.X > left && p.Y < low {
					inside++
				}
			}
		}
		if inside > 0 {
			t.Errorf("zoom %g: %d points of the part lie in the view of the bed", zoom, inside)
		}
	}
	if shown == 0 || shown == 4 {
		t.Errorf("shown at %d of 4 zooms: there must be room for it at some and none at others", shown)
	}
}

package render_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/internal/shape"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestChevronsStandAtTheSetAngle measures the shells of the elevation in the
// SVG itself: straight from the axis outward, at the cone's angle.
func TestChevronsStandAtTheSetAngle(t *testing.T) {
	angles := []float64{15, 30, 45}
	if testing.Short() {
		angles = angles[1:2]
	}
	for _, angle := range angles {
		for _, inward := range []bool{false, true} {
			in := bollard()
			in.Zones[0].Field = field.NewCone(angle*degree, inward, center, 0)
			checkChevrons(t, in, angle, inward)
		}
	}
}

func checkChevrons(t *testing.T, in render.Input, angle float64, inward bool) {
	t.Helper()
	d := render.Sheet(in)
	f, _ := d.FrameOf(drawing.Elevation)
	axis := f.Paper(r3.Vec{X: center.X}).X
	lines := shellsOf(t, string(written(t, d)), "elevation")
	if len(lines) < 10 {
		t.Fatalf("%d shells in the elevation", len(lines))
	}
	for _, line := range lines {
		if len(line) > 3 {
			t.Fatalf("a chevron of %d points", len(line))
		}
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			if math.Hypot(b.X-a.X, b.Y-a.Y) < 3 {
				continue // the grid of the file is too coarse to tell
			}
			want := math.Tan(angle * degree) // paper runs down, and so do the shells to the right
			if (a.X+b.X)/2 < axis != inward {
				want = -want
			}
			if got := (b.Y - a.Y) / (b.X - a.X); math.Abs(math.Atan(got)-math.Atan(want)) > 0.4*degree {
				t.Fatalf("angle %v inward %v: a shell from %v to %v stands at %.2f degrees", angle, inward, a, b, math.Atan(got)/degree)
			}
		}
	}
}

var shellPath = regexp.MustCompile(`<path class="shell"[^>]* d="([^"]*)"`)

// shellsOf reads the shells of a view back from an SVG, mm of paper.
func shellsOf(t *testing.T, text, view string) [][]r2.Vec {
	t.Helper()
	_, text, _ = strings.Cut(text, `<g id="`+view+`"`)
	found := shellPath.FindStringSubmatch(text)
	if found == nil {
		t.Fatal("no shells in the " + view)
	}
	var lines [][]r2.Vec
	for _, one := range strings.Split(found[1], "M")[1:] {
		var line []r2.Vec
		n := numbers.FindAllString(one, -1)
		for i := 0; i+1 < len(n); i += 2 {
			x, _ := strconv.ParseFloat(n[i], 64)
			y, _ := strconv.ParseFloat(n[i+1], 64)
			p := r2.Vec{X: x, Y: y}
			if i > 0 {
				p = r2.Add(p, line[len(line)-1])
			}
			line = append(line, p)
		}
		lines = append(lines, line)
	}
	return lines
}

func TestSheetsAreWellFormed(t *testing.T) {
	nan := math.NaN()
	empty := bollard()
	empty.Mesh, empty.Zones = nil, nil
	words := bollard()
	words.Fields.Title = `<&>"' ` + "\x00\x01 ÄÖÜ 漢字 " + strings.Repeat("long ", 100)
	bad := bollard()
	bad.Mesh = &mesh.Mesh{Vertices: []r3.Vec{{X: nan}, {X: math.Inf(1)}, {Y: 1}}, Facets: [][3]int32{{0, 1, 2}, {2, 2, 2}}}
	bad.Zones[0].Mesh = bad.Mesh
	bad.MidAir = []r3.Vec{{X: nan, Y: nan, Z: nan}}
	tiny := bollard()
	tiny.Options.Size = r2.Vec{X: 3, Y: 2}
	flat := bollard()
	flat.Mesh = form.Box(r3.Vec{X: 100, Y: 100}, r3.Vec{X: 150, Y: 150, Z: 1e-9})
	flat.Zones = nil
	far := bollard()
	far.Mesh, far.Zones = shape.Bollard(center, 16), nil
	far.Flat = render.Flat{Zoom: 1e6, Pan: r2.Vec{X: 1e9}}
	far.View.Zoom = 1e6
	all := map[string]render.Input{"empty": empty, "words": words, "bad": bad, "tiny": tiny, "flat": flat, "far": far}
	maps.Copy(all, looks())
	for name, in := range all {
		in.Options.Coarse = true
		text := string(written(t, render.Sheet(in)))
		decoder := xml.NewDecoder(strings.NewReader(text))
		for {
			if _, err := decoder.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("%s: not a number on the sheet", name)
		}
	}
}

func TestFramesBringPaperBackToTheBed(t *testing.T) {
	d := render.Sheet(zones())
	for _, v := range []drawing.View{drawing.Elevation, drawing.Plan, drawing.Pictorial} {
		f, ok := d.FrameOf(v)
		if !ok {
			t.Fatalf("no %s", v)
		}
		p := r3.Vec{X: 130, Y: 100, Z: 20}
		back := f.World(f.Paper(p))
		if off := r3.Sub(p, back); r3.Norm(r3.Cross(off, f.Toward)) > 1e-9 {
			t.Errorf("%s: %v came back as %v", v, p, back)
		}
		if r3.Norm(r3.Sub(r3.Cross(f.Right, f.Up), f.Toward)) > 1e-12 {
			t.Errorf("%s is a mirror image", v)
		}
	}
	up, _ := d.FrameOf(drawing.Elevation)
	plan, _ := d.FrameOf(drawing.Plan)
	p := r3.Vec{X: 117, Y: 99, Z: 3}
	if up.Paper(p).X != plan.Paper(p).X {
		t.Error("elevation and plan aren't on one axis")
	}
	if up.Rect.Max.Y > plan.Rect.Min.Y {
		t.Error("the plan isn't under the elevation (first angle)")
	}
}

func TestHandlesLieWhereThingsAre(t *testing.T) {
	d := render.Sheet(zones())
	count := map[drawing.Kind]int{}
	for _, h := range d.Handles {
		count[h.Item.Kind]++
		f, _ := d.FrameOf(h.View)
		switch h.Item.Kind {
		case drawing.AxisItem:
			if p := f.World(h.At); math.Abs(p.X-center.X) > 1e-9 || math.Abs(p.Y-center.Y) > 1e-9 {
				t.Errorf("an axis at %v", p)
			}
		case drawing.CutItem, drawing.CutTiltItem:
			if p := f.World(h.At); math.Abs(p.Z-30) > 1e-9 {
				t.Errorf("a cut's handle at %v", p)
			}
		}
	}
	if count[drawing.AxisItem] != 4 || count[drawing.CutItem] != 1 || count[drawing.CutTiltItem] != 2 {
		t.Errorf("handles: %v", count)
	}
}

func TestScalesAreThoseOfTheStandard(t *testing.T) {
	// ISO 5455: 1:1; 2:1, 5:1, 10:1, 20:1, 50:1 and 1:2, 1:5, 1:10 and so on by
	// powers of ten (from memory).
	standard := regexp.MustCompile(`^(1 : [125]0*|[125]0* : 1)$`)
	for _, size := range []float64{0.5, 3, 20, 60, 150, 900, 4000} {
		m := shape.Revolve(center, 12, [2]float64{0, 0}, [2]float64{size / 2, 0}, [2]float64{size / 2, size}, [2]float64{0, size})
		scale := ""
		d := render.Sheet(render.Input{Mesh: m})
		for _, text := range d.Texts {
			if standard.MatchString(text.Words) {
				scale = text.Words
			}
		}
		f, _ := d.FrameOf(drawing.Elevation)
		if want := fmt.Sprint(f.Scale); scale == "" {
			t.Errorf("a part of %v mm: scale %s isn't in the series", size, want)
		}
		for _, p := range []r3.Vec{{X: center.X - size/2}, {X: center.X + size/2, Z: size}} {
			if !f.Rect.Contains(f.Paper(p)) {
				t.Errorf("a part of %v mm doesn't fit at %s", size, scale)
			}
		}
	}
}

func TestInputIsNotChanged(t *testing.T) {
	in, same := zones(), zones()
	render.Sheet(in)
	for i := range in.Zones {
		for k, v := range in.Zones[i].Mesh.Vertices {
			if v != same.Zones[i].Mesh.Vertices[k] {
				t.Fatal("a vertex moved")
			}
		}
	}
	if in.Texts != nil || in.Options.Size != (r2.Vec{}) {
		t.Error("zeros were filled in the caller's input")
	}
}

package raster

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand"
	"runtime"
	"testing"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// slow is the same coverage asked for each pixel: the distance of its centre
// from every segment. At a pixel a millimetre all widths are drawn enlarged.
func slow(lines []drawing.Line, w, h int) []uint8 {
	mask := make([]uint8, w*h)
	for _, l := range lines {
		half := l.Pen.Width() * thinnest / drawing.Shell.Width() / 2
		for i := 1; i < len(l.Points); i++ {
			a, b := l.Points[i-1], l.Points[i]
			for y := range h {
				for x := range w {
					c := math.Min(half+0.5-distance(r2.Vec{X: float64(x) + 0.5, Y: float64(y) + 0.5}, a, b), math.Min(2*half, 1))
					if v := uint8(math.Max(c, 0) * 255); v > mask[y*w+x] {
						mask[y*w+x] = v
					}
				}
			}
		}
	}
	return mask
}

func distance(p, a, b r2.Vec) float64 {
	d := r2.Sub(b, a)
	t := 0.0
	if n := r2.Norm2(d); n > 0 {
		t = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/n))
	}
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, d))))
}

func TestLinesCoverWhatTheSlowWayCovers(t *testing.T) {
	const w, h = 90, 200 // high enough for several bands
	rng := rand.New(rand.NewSource(3))
	d := &drawing.Drawing{Size: r2.Vec{X: w, Y: h}}
	for range 40 {
		l := drawing.Line{Pen: drawing.CutEnd}
		for range 2 + rng.Intn(3) {
			l.Points = append(l.Points, r2.Vec{X: rng.Float64()*120 - 15, Y: rng.Float64()*230 - 15})
		}
		d.Lines = append(d.Lines, l)
	}
	d.Lines = append(d.Lines,
		drawing.Line{Pen: drawing.CutEnd, Points: []r2.Vec{{X: 10, Y: 20.5}, {X: 60, Y: 20.5}}},
		drawing.Line{Pen: drawing.CutEnd, Points: []r2.Vec{{X: 30.5, Y: 10}, {X: 30.5, Y: 190}}},
		drawing.Line{Pen: drawing.CutEnd, Points: []r2.Vec{{X: 40, Y: 40}, {X: 40, Y: 40}}})
	p := new(Painter)
	p.Paint(image.NewRGBA(image.Rect(0, 0, w, h)), d, Options{Scale: 1})
	for i, want := range slow(d.Lines, w, h) {
		if got := p.ink[i]; math.Abs(float64(got)-float64(want)) > 2 {
			t.Fatalf("pixel %d, %d is covered by %d, the slow way by %d", i%w, i/w, got, want)
		}
	}
}

func TestDashesFollowTheirPen(t *testing.T) {
	d := &drawing.Drawing{Lines: []drawing.Line{{Pen: drawing.Hidden, Points: []r2.Vec{{X: 0, Y: 5}, {X: 10, Y: 5}, {X: 60, Y: 5}}}}}
	p := new(Painter)
	p.prepare(d, Options{Scale: 1}.filled())
	on := 0.0
	for _, s := range p.under {
		on += float64(s.x1 - s.x0)
	}
	dashes := drawing.Hidden.Dashes()
	if want := 60 * dashes[0] / (dashes[0] + dashes[1]); math.Abs(on-want) > dashes[0] {
		t.Errorf("%v mm of 60 are drawn, want about %v", on, want)
	}
}

func paint(d *drawing.Drawing, w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	Draw(img, d, Options{Scale: 4, Palette: drawing.Print})
	return img
}

// inked returns the box of all pixels that aren't paper.
func inked(img *image.RGBA) (box image.Rectangle) {
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if img.RGBAAt(x, y) != (color.RGBA{255, 255, 255, 255}) {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return box
}

func TestWordsStandAtTheirPlace(t *testing.T) {
	const words, size = "Hx 0.25 °", 5.0
	width := lettering.Width(words, size) * 4
	for _, tt := range []struct {
		name string
		text drawing.Text
		want image.Rectangle // roughly
	}{
		{"start", drawing.Text{At: r2.Vec{X: 20, Y: 20}}, image.Rect(80, 64, 80+int(width), 81)},
		{"end", drawing.Text{At: r2.Vec{X: 60, Y: 20}, Anchor: drawing.End}, image.Rect(240-int(width), 64, 240, 81)},
		{"middle", drawing.Text{At: r2.Vec{X: 40, Y: 20}, Anchor: drawing.Middle}, image.Rect(160-int(width/2), 64, 160+int(width/2), 81)},
		{"turned", drawing.Text{At: r2.Vec{X: 20, Y: 60}, Turned: true}, image.Rect(64, 240-int(width), 81, 240)},
	} {
		tt.text.Words, tt.text.Size = words, size
		got := inked(paint(&drawing.Drawing{Texts: []drawing.Text{tt.text}}, 320, 280))
		if got.Empty() || !got.In(tt.want.Inset(-3)) || !tt.want.Inset(6).In(got.Inset(-6)) {
			t.Errorf("%s: letters in %v, want about %v", tt.name, got, tt.want)
		}
	}
}

func TestHalosKeepLinesOutOfWords(t *testing.T) {
	line := drawing.Line{Pen: drawing.Visible, Points: []r2.Vec{{X: 0, Y: 19}, {X: 80, Y: 19}}}
	text := drawing.Text{At: r2.Vec{X: 20, Y: 20}, Size: 5, Words: "l l", Halo: true}
	img := paint(&drawing.Drawing{Lines: []drawing.Line{line}, Texts: []drawing.Text{text}}, 320, 160)
	gap := 4*20 + int(lettering.Width("l ", 5)*4/2) + 4
	if img.RGBAAt(gap, 76).R < 250 {
		t.Error("the line runs between the letters")
	}
	if img.RGBAAt(20, 76).R > 100 {
		t.Error("the line is gone beside the words")
	}
}

func TestBadDrawingsDoNoHarm(t *testing.T) {
	nan, huge := math.NaN(), 1e300
	d := &drawing.Drawing{
		Lines: []drawing.Line{
			{Pen: drawing.Hidden, Points: []r2.Vec{{X: nan}, {X: 1}}},
			{Pen: drawing.Axis, Points: []r2.Vec{{X: -huge}, {X: huge}}},
			{Pen: drawing.Visible, Points: []r2.Vec{{X: math.Inf(1)}, {}}},
			{Pen: 200, Points: []r2.Vec{{}, {X: 1}}}, {},
		},
		Texts: []drawing.Text{{Words: "漢字 \x00", Size: 4, At: r2.Vec{X: nan}}, {Words: "x", Size: 1e9}, {Words: "", Size: 3}},
		Marks: []drawing.Mark{{At: r2.Vec{X: nan}, Radius: 1}, {At: r2.Vec{X: 5, Y: 5}, Radius: 1e9}},
	}
	for _, size := range []image.Point{{}, {X: 1, Y: 1}, {X: 7, Y: 300}} {
		Draw(image.NewRGBA(image.Rectangle{Max: size}), d, Options{})
	}
}

func TestPixelsDoNotDependOnProcessors(t *testing.T) {
	d := busy(2000)
	want := paint(d, 400, 300)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if got := paint(d, 400, 300); !bytes.Equal(got.Pix, want.Pix) {
		t.Error("one processor paints other pixels than all")
	}
}

func TestPNGHoldsTheSheet(t *testing.T) {
	var b bytes.Buffer
	if err := PNG(&b, &drawing.Drawing{Size: r2.Vec{X: 100, Y: 50}}, Options{Scale: 3}); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil || img.Bounds().Size() != (image.Point{X: 300, Y: 150}) {
		t.Errorf("%v, %v", img.Bounds(), err)
	}
}

// busy is a drawing of about n segments, curves as shells are.
func busy(n int) *drawing.Drawing {
	d := &drawing.Drawing{Size: r2.Vec{X: 317, Y: 212}}
	rng := rand.New(rand.NewSource(5))
	for range n / 100 {
		c := r2.Vec{X: rng.Float64() * 317, Y: rng.Float64() * 212}
		l := drawing.Line{Pen: drawing.Shell}
		r := 5 + rng.Float64()*60
		for i := range 101 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 100)
			l.Points = append(l.Points, r2.Vec{X: c.X + r*cos, Y: c.Y + 0.4*r*sin})
		}
		d.Lines = append(d.Lines, l)
	}
	return d
}

func BenchmarkDraw20000(b *testing.B) {
	d, img := busy(20_000), image.NewRGBA(image.Rect(0, 0, 1200, 800))
	for b.Loop() {
		Draw(img, d, Options{Scale: 1200. / 317})
	}
}

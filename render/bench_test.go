package render_test

import (
	"image"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/internal/shape"
	"conewright/render/raster"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// big is a part of about the given number of facets, in a window's size, with
// about forty shells drawn.
func big(facets int) render.Input {
	m := shape.Knot(r3.Vec{X: 125, Y: 105, Z: 40}, 50, facets)
	return render.Input{
		Mesh:    m,
		Zones:   []render.Zone{{Name: "all", Mesh: m, Field: field.NewCone(45*degree, false, center, 0)}},
		Options: render.Options{Hidden: true, Size: r2.Vec{X: 968 / 3.78, Y: 718 / 3.78}},
	}
}

func frames(b *testing.B, in render.Input, change func(in *render.Input, i int)) {
	d, img := render.NewDrafter(), image.NewRGBA(image.Rect(0, 0, 968, 718))
	var last *drawing.Drawing
	frame := func(i int) {
		change(&in, i)
		last = d.Sheet(in)
		raster.Draw(img, last, raster.Options{Scale: 3.78})
	}
	frame(0)
	i := 1
	for b.Loop() {
		frame(i)
		i++
	}
	segments := 0
	for _, l := range last.Lines {
		segments += len(l.Points) - 1
	}
	b.ReportMetric(float64(segments), "segments")
}

func orbit(in *render.Input, i int) {
	in.View = render.View{Azimuth: float64(i) * 0.02, Elevation: 0.4 + 0.2*math.Sin(float64(i)*0.1), Set: true}
}

func dragAxis(in *render.Input, i int) {
	in.Zones = []render.Zone{in.Zones[0]}
	in.Zones[0].Field = field.NewCone(in.Zones[0].Field.Angle(), in.Zones[0].Field.Curvature() == field.Concave, r2.Add(center, r2.Vec{X: 5 * math.Sin(float64(i)*0.1)}), 0)
}

func BenchmarkOrbit100000(b *testing.B)    { frames(b, big(100_000), orbit) }
func BenchmarkDragAxis100000(b *testing.B) { frames(b, big(100_000), dragAxis) }
func BenchmarkStill100000(b *testing.B)    { frames(b, big(100_000), func(*render.Input, int) {}) }

func BenchmarkOrbit1000000Coarse(b *testing.B) {
	in := big(1_000_000)
	in.Options.Coarse = true
	frames(b, in, orbit)
}

func BenchmarkSheet100000(b *testing.B) {
	in := big(100_000)
	for b.Loop() {
		render.Sheet(in)
	}
}

func BenchmarkDragAxisBollard(b *testing.B) {
	in := bollard()
	in.Options.Size = r2.Vec{X: 968 / 3.78, Y: 718 / 3.78}
	frames(b, in, dragAxis)
}

func BenchmarkOrbitBollard(b *testing.B) {
	in := bollard()
	in.Options.Size = r2.Vec{X: 968 / 3.78, Y: 718 / 3.78}
	frames(b, in, orbit)
}

func BenchmarkDragAxis1000000Coarse(b *testing.B) {
	in := big(1_000_000)
	in.Options.Coarse = true
	frames(b, in, dragAxis)
}

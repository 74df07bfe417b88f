package pictures

import (
	"context"
	"fmt"
	"image"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/packaging/frames"
	"conewright/render"
	"conewright/render/raster"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sheetSize is that of the sheet in the window of packaging/frames.sh, pixels,
// and sheetScale pixels a mm of paper.
var sheetSize = image.Rect(0, 0, 797, 648)

const sheetScale = 3.6

// shown is a part and its zone as packaging/frames.sh has them, with what hangs free.
func shown(b *testing.B, name string, facets int) render.Input {
	b.Helper()
	part, err := frames.Part(name, facets)
	if err != nil {
		b.Fatal(err)
	}
	m := &mesh.Mesh{Facets: part.Facets, Vertices: make([]r3.Vec, len(part.Vertices))}
	low := math.Inf(1)
	for _, v := range part.Vertices {
		low = math.Min(low, v.Z)
	}
	for i, v := range part.Vertices {
		m.Vertices[i] = r3.Add(v, r3.Vec{X: 125, Y: 105, Z: -low})
	}
	g := &job.Region{Name: "ring", Mesh: m, Field: field.NewCone(math.Pi/4, false, r2.Vec{X: 125, Y: 105}, 0)}
	if err := g.Warp(context.Background(), 0.02); err != nil {
		b.Fatal(err)
	}
	judged, err := job.Judge(context.Background(), g, 45, job.JudgeLevel(g, 45))
	if err != nil {
		b.Fatal(err)
	}
	g.Judged = judged
	in := render.Input{Mesh: m, Zones: []render.Zone{{Name: g.Name, Mesh: m, Field: g.Field}}}
	in.Overhang, in.Bridged = Overhang([]*job.Region{g})
	in.Options.Hidden = true
	in.Options.Size = r2.Scale(1/sheetScale, r2.Vec{X: float64(sheetSize.Dx()), Y: float64(sheetSize.Dy())})
	return in
}

func benchmarkFrames(b *testing.B, in render.Input, change func(in *render.Input, i int)) {
	in.Options.Moving = true
	d, img := render.NewDrafter(), image.NewRGBA(sheetSize)
	for i := 0; b.Loop(); i++ {
		change(&in, i)
		raster.Draw(img, d.Sheet(in), raster.Options{Scale: sheetScale})
	}
}

// orbit turns the pictorial view as a pointer does.
func orbit(in *render.Input, i int) {
	a := 4 * math.Pi * float64(i) / 150
	in.View = render.View{Azimuth: -1 - 0.5*math.Sin(a), Elevation: 0.4 + 0.5*(1-math.Cos(a)), Set: true}
}

// drag moves the axis; figures follow now and then.
func drag(in *render.Input, i int) {
	a := 4 * math.Pi * float64(i) / 150
	in.Zones = []render.Zone{in.Zones[0]}
	in.Zones[0].Field = field.NewCone(in.Zones[0].Field.Angle(), in.Zones[0].Field.Curvature() == field.Concave, r2.Vec{X: 125 + 10*math.Sin(a), Y: 105 + 10*(1-math.Cos(a))}, 0)
	if i%4 == 0 {
		in.Overhang = append([][3]r3.Vec(nil), in.Overhang...)
	}
}

// frameParts are the parts of packaging/frames.sh.
var frameParts = []struct {
	name   string
	facets int
}{{"ring", 100_000}, {"gyroid", 100_000}, {"figure", 4_000}, {"gyroid", 1_000_000}, {"ring", 1_000_000}}

func BenchmarkFrames(b *testing.B) {
	for _, p := range frameParts {
		b.Run(fmt.Sprintf("%s-%d", p.name, p.facets), func(b *testing.B) {
			in := shown(b, p.name, p.facets)
			in.Options.Coarse = p.facets > 200_000
			b.Run("drag", func(b *testing.B) { benchmarkFrames(b, in, drag) })
			b.Run("orbit", func(b *testing.B) { benchmarkFrames(b, in, orbit) })
		})
	}
}

package render

import (
	"math"

	"conewright/render/depth"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// outermost is how far under the surface, in widths, a bead still is one of the
// outermost: their middles lie half a width under it, and what fills the part
// reaches to within one.
const outermost = 0.72

// leastCosine bounds how far back a surface that is seen edge on is moved.
const leastCosine = 0.15

// printed returns the depths behind which beads aren't seen: those of the part
// as far as it is printed, less the beads that lie outermost. Its top is the
// newest shell.
func (s *sketch) printed(m *model, f *drawing.ViewFrame, zone int, newest float64) *depth.Map {
	width := s.in.Laid.Width
	if !(width > 0) {
		width = usualBead
	}
	behind := func(cos float64) float64 { return -outermost * width / math.Max(math.Abs(cos), leastCosine) }
	v := beadView(f)
	d := depth.New(v)
	for _, z := range m.zones[:zone] {
		d.Add(z.mesh, depth.Fill{Facing: depth.Fronts, Behind: behind})
	}
	z := m.zones[zone]
	if newest >= z.high {
		d.Add(z.mesh, depth.Fill{Facing: depth.Fronts, Behind: behind})
		return d
	}
	fill := depth.Fill{Facing: depth.Fronts, Values: z.shells, Most: newest, Behind: behind}
	now, backs := depth.New(v), depth.New(v)
	now.Add(z.mesh, fill)
	fill.Facing, fill.Behind = depth.Backs, nil
	backs.Add(z.mesh, fill)
	now.Cover(backs, func(p r3.Vec) float64 { return z.coverDepth(p, f.Toward, newest, s.in.Shell) })
	d.Unite(now)
	return d
}

func beadView(f *drawing.ViewFrame) depth.View {
	lo, hi := f.World(r2.Vec{X: f.Rect.Min.X, Y: f.Rect.Max.Y}), f.World(r2.Vec{X: f.Rect.Max.X, Y: f.Rect.Min.Y})
	return depth.View{Right: f.Right, Up: f.Up, Toward: f.Toward, Cell: beadCell / f.Scale,
		Min: r2.Vec{X: r3.Dot(lo, f.Right), Y: r3.Dot(lo, f.Up)},
		Max: r2.Vec{X: r3.Dot(hi, f.Right), Y: r3.Dot(hi, f.Up)}}
}

// coverDepth returns the depth of the newest shell on the way from p, under it, toward
// the viewer, less half a shell's thickness along the view.
func (z *zoneModel) coverDepth(p, toward r3.Vec, newest, thickness float64) float64 {
	drawn := z.field.Times(1 - z.warp) // the shell as it is drawn
	d := r3.Dot(p, toward)
	t, ok := drawn.Ray(p, toward, newest+z.shift)
	if !ok {
		return d
	}
	q := r3.Add(p, r3.Scale(t, toward))
	cos := math.Abs(r3.Dot(drawn.Normal(r2.Vec{X: q.X, Y: q.Y}), toward))
	return d + t - 0.6*thickness/math.Max(cos, leastCosine)
}

package render

import (
	"math"
	"slices"

	"conewright/geom/field"
	"conewright/render/contour"
	"conewright/render/drawing"
	"conewright/render/hidden"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// pathsKey is what the paths of plan or pictorial view are made from, whatever
// they are looked at from.
type pathsKey struct {
	stamp  modelStamp
	pitch  float64
	shell  float64
	nth    int
	shells bool
	warped bool
}

// spaceKey is what the lines of plan or pictorial view are made from.
type spaceKey struct {
	paths  pathsKey
	toward r3.Vec
	grain  grain
	window hidden.Window
}

// edgesKey is what the edges of a view are made from.
type edgesKey struct {
	solid  int
	toward r3.Vec
	grain  grain
	window hidden.Window
}

// spaceMemo keeps what one view is made from.
type spaceMemo struct {
	paths memo[pathsKey, *gatherer]
	edges memo[edgesKey, edgeLines]
	lines memo[spaceKey, spaceLines]
}

func (v *spaceMemo) get(m *model, in *Input, k spaceKey) spaceLines {
	return v.lines.get(k, func() spaceLines {
		look := hidden.Look{Toward: k.toward, Step: k.grain.step, Precision: k.grain.precision, Window: k.window}
		edges := v.edges.get(edgesKey{k.paths.stamp.solid, k.toward, k.grain, k.window}, func() edgeLines { return edges(m, look) })
		g := v.paths.get(k.paths, func() *gatherer { return gather(m, in, k.paths) })
		lines := g.split(m, look)
		lines.edgeLines = edges
		return lines
	})
}

// edgeLines are creases, borders and silhouettes.
type edgeLines struct{ visible, hidden ln.Paths }

func edges(m *model, look hidden.Look) edgeLines {
	var lines edgeLines
	for _, p := range hidden.Split(m.solid, slices.Concat(m.creases, chainPaths(m.solid.Silhouettes(look.Toward))), look) {
		lines.visible, lines.hidden = append(lines.visible, p.Visible...), append(lines.hidden, p.Hidden...)
	}
	return lines
}

// spaceLines are the lines of a view in bed coordinates, hidden lines parted
// from visible ones.
type spaceLines struct {
	edgeLines
	shells                    ln.Paths // visible
	axes                      ln.Paths // visible
	cuts                      ln.Paths // visible
	hatchVisible, hatchHidden ln.Paths
}

// grain is how finely lines are looked at, mm of the part.
type grain struct{ step, precision, pitch float64 }

// Steps on paper, mm: no feature under half a millimetre of paper matters, and
// an end that is off by a tenth of a thin line's width isn't seen.
const (
	paperStep      = 0.6
	paperPrecision = 0.02
	paperPitch     = 1.9 // of hatches
)

// Shares of the part's size under which steps don't go, however far a view is
// zoomed: time would grow with the zoom, and a part file has no finer features.
const (
	leastStep      = 1. / 2000
	leastPrecision = 1e-6
)

// newGrain returns the grain for a scale, in steps of a quarter octave, so that
// zooming doesn't make everything anew all the time, and the hatch's pitch in
// steps of 1, 2, 5, so that its lines stay where they are.
func newGrain(scale, size float64) grain {
	s := math.Exp2(math.Ceil(math.Log2(scale)*4) / 4)
	return grain{
		step:      math.Max(paperStep/s, leastStep*size),
		precision: math.Max(paperPrecision/s, leastPrecision*size),
		pitch:     round125(paperPitch / scale),
	}
}

// windowOf returns the window of a frame: none where all of the part lies in
// it. It is wider than the frame and stands on a grid, so that a pan makes it
// anew only now and then.
func windowOf(m *model, f *drawing.ViewFrame) hidden.Window {
	at, reach := f.Paper(m.middle()), m.radius*f.Scale
	if f.Rect.Min.X <= at.X-reach && at.X+reach <= f.Rect.Max.X && f.Rect.Min.Y <= at.Y-reach && at.Y+reach <= f.Rect.Max.Y {
		return hidden.Window{}
	}
	w := hidden.Window{Right: f.Right, Up: f.Up}
	stepX, stepY := f.Rect.Width()/f.Scale/2, f.Rect.Height()/f.Scale/2
	middle := f.World(f.Rect.Center())
	x := math.Round(r3.Dot(middle, f.Right)/stepX) * stepX
	y := math.Round(r3.Dot(middle, f.Up)/stepY) * stepY
	w.Min, w.Max = r2.Vec{X: x - 1.6*stepX, Y: y - 1.6*stepY}, r2.Vec{X: x + 1.6*stepX, Y: y + 1.6*stepY}
	return w
}

// everyNth returns how many shells go on one that is drawn, so that drawn ones
// stay gap mm of paper apart, square to themselves.
func everyNth(shell, scale, gap float64) int {
	least := gap / (shell * scale)
	for power := 1.; power < mostNth; power *= 10 {
		for _, n := range [...]float64{1, 2, 3, 4, 5, 6, 8} {
			if n*power >= least*(1-1e-9) {
				return int(n * power)
			}
		}
	}
	return mostNth
}

// mostNth bounds how many shells may go on one that is drawn.
const mostNth = 1_000_000

// gather collects the paths of a view, all but its edges.
func gather(m *model, in *Input, k pathsKey) *gatherer {
	g := &gatherer{}
	if k.shells {
		for _, z := range m.zones {
			g.add(z.curves(k.shell, k.nth), func(l *spaceLines, p hidden.Parts) { l.shells = append(l.shells, p.Visible...) })
		}
	}
	g.add(axisPaths(m), func(l *spaceLines, p hidden.Parts) { l.axes = append(l.axes, p.Visible...) })
	if !k.warped {
		g.add(cutPaths(m, in.Cuts), func(l *spaceLines, p hidden.Parts) { l.cuts = append(l.cuts, p.Visible...) })
	}
	if m.overhang != nil {
		g.add(bare(m.overhang.Lines(k.pitch)), func(l *spaceLines, p hidden.Parts) {
			l.hatchVisible, l.hatchHidden = append(l.hatchVisible, p.Visible...), append(l.hatchHidden, p.Hidden...)
		})
	}
	return g
}

// gatherer collects paths, so that all are parted in one go, and what to do
// with their parts.
type gatherer struct {
	paths []hidden.Path
	takes []take
	ends  []int // of the paths of each take
}

// take puts the parts of a path where they belong.
type take func(*spaceLines, hidden.Parts)

func (g *gatherer) add(paths []hidden.Path, t take) {
	g.paths = append(g.paths, paths...)
	g.takes, g.ends = append(g.takes, t), append(g.ends, len(g.paths))
}

func (g *gatherer) split(m *model, look hidden.Look) spaceLines {
	var lines spaceLines
	kind := 0
	for i, p := range hidden.Split(m.solid, g.paths, look) {
		for i >= g.ends[kind] {
			kind++
		}
		g.takes[kind](&lines, p)
	}
	return lines
}

func bare(lines [][]r3.Vec) []hidden.Path {
	paths := make([]hidden.Path, len(lines))
	for i, l := range lines {
		paths[i].Points = l
	}
	return paths
}

// axisOver is how far an axis stands out over what it belongs to, as a share
// of the part's radius.
const axisOver = 0.22

// axisPaths returns the axis of each cone, through its zone and a little
// beyond; zones on one axis share a line.
func axisPaths(m *model) []hidden.Path {
	var paths []hidden.Path
	for _, a := range axes(m) {
		over := axisOver * m.radius
		paths = append(paths, hidden.Path{Points: []r3.Vec{
			{X: a.at.X, Y: a.at.Y, Z: a.top + over}, {X: a.at.X, Y: a.at.Y, Z: a.bottom - over},
		}})
	}
	return paths
}

// axis is the axis of one or more zones.
type axis struct {
	zone        int // the first that has it
	at          r2.Vec
	bottom, top float64
}

// sameAxis is the distance within which two axes are drawn as one, mm.
const sameAxis = 0.01

func axes(m *model) []axis {
	var found []axis
	for i, z := range m.zones {
		if z.field.Kind != field.Cone {
			continue
		}
		top, bottom := z.top+z.lift(z.field.Axis), z.bottom
		known := false
		for k := range found {
			if r2.Norm(r2.Sub(found[k].at, z.field.Axis)) < sameAxis {
				known = true
				found[k].bottom, found[k].top = math.Min(found[k].bottom, bottom), math.Max(found[k].top, top)
			}
		}
		if !known {
			found = append(found, axis{i, z.field.Axis, bottom, top})
		}
	}
	return found
}

// cutPaths returns where cuts go through the surface.
func cutPaths(m *model, cuts []Cut) []hidden.Path {
	var paths []hidden.Path
	values := make([]float64, len(m.solid.Mesh.Vertices))
	for _, c := range cuts {
		for i, v := range m.solid.Mesh.Vertices {
			values[i] = r3.Dot(r3.Sub(v, c.Point), c.Normal)
		}
		for _, l := range contour.Lines(m.solid.Mesh, values, []float64{0}) {
			normals := make([]r3.Vec, len(l.Facets))
			for i, f := range l.Facets {
				normals[i] = m.solid.Normals[f]
			}
			paths = append(paths, hidden.Path{Points: l.Points, Normals: normals, InFacets: true})
		}
	}
	return paths
}

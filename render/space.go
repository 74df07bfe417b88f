package render

import (
	"slices"

	"conewright/render/contour"
	"conewright/render/hatch"
	"conewright/render/hidden"

	"github.com/fogleman/ln/ln"
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
	paths         pathsKey
	toward, right r3.Vec
	grain         grain
	window        hidden.Window
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
	paths  memo[pathsKey, *gatherer]
	edges  memo[edgesKey, edgeLines]
	lines  memo[spaceKey, spaceLines]
	depths depthsMemo
}

func (v *spaceMemo) get(m *model, in *Input, k spaceKey) spaceLines {
	return v.lines.get(k, func() spaceLines {
		e := edgesKey{k.paths.stamp.solid, k.toward, k.grain, k.window}
		look := hidden.Look{Toward: k.toward, Step: k.grain.step, Precision: k.grain.precision, Window: k.window,
			Depths: v.depths.get(m, e, k.right)}
		edges := v.edges.get(e, func() edgeLines { return edges(m, look) })
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
		g.add(strokes(m.overhang.Lines(k.pitch)), func(l *spaceLines, p hidden.Parts) {
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

// strokes are a hatch's lines as paths.
func strokes(lines []hatch.Line) []hidden.Path {
	paths := make([]hidden.Path, len(lines))
	for i, l := range lines {
		paths[i] = hidden.Path{Points: l.Points, Normals: l.Normals, InFacets: true}
	}
	return paths
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

package render

import (
	"slices"

	"conewright/render/contour"
	"conewright/render/hatch"
	"conewright/render/hidden"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// lookKey is how plan or pictorial view look at the solid.
type lookKey struct {
	solid         int // stamp
	toward, right r3.Vec
	sampling      sampling
	window        hidden.Window
}

// spaceKey is what the lines of plan or pictorial view are made from.
type spaceKey struct {
	look   lookKey
	stamp  modelStamp
	shell  float64
	nth    int
	shells bool
	warped bool
	loose  bool // what is made anew is sampled loosely
}

// cutsKey is what the lines of cuts in a view are made from.
type cutsKey struct {
	look   lookKey
	stamp  int
	warped bool
}

// throughKey is what the lines are made from where cuts go through the surface,
// however they are looked at: stamps.
type throughKey struct{ solid, cuts int }

// hatchKey is what the hatch in a view is made from.
type hatchKey struct {
	look              lookKey
	overhang, bridged int // stamps
}

// strokesKey is what the strokes of the hatch are made from, however they are
// looked at.
type strokesKey struct {
	overhang, bridged int // stamps
	pitch             float64
}

// spaceMemo keeps what one view is made from: while an axis is dragged only
// shells are made anew, and the hatch when it is known anew.
type spaceMemo struct {
	depths  depthsMemo
	edges   memo[lookKey, hidden.Parts]
	cuts    memo[cutsKey, ln.Paths]
	through memo[throughKey, []hidden.Path]
	stroke  memo[strokesKey, []hidden.Path]
	hatch   memo[hatchKey, hidden.Parts]
	lines   memo[spaceKey, spaceLines]
}

func (v *spaceMemo) get(m *model, in *Input, k spaceKey) spaceLines {
	shells := k.look.sampling
	if in.Options.Moving && !v.lines.has(k) {
		k.loose, shells = true, shells.loose()
		if !v.edges.has(k.look) { // the view is turned
			k.look.sampling = shells
		}
	}
	return v.lines.get(k, func() spaceLines {
		var outlines []hidden.Path
		if !v.edges.has(k.look) {
			outlines = slices.Concat(m.creases, chainPaths(m.solid.Silhouettes(k.look.toward)))
		}
		many := k.loose && worthDepths(m, outlines)
		look := hidden.Look{Toward: k.look.toward, Step: k.look.sampling.step, Precision: k.look.sampling.precision,
			Window: k.look.window, Depths: v.depths.get(m, k.look, many), Loose: k.loose}
		var lines spaceLines
		lines.edges = v.edges.get(k.look, func() hidden.Parts {
			return split(m, look, outlines)
		})
		lines.cuts = v.cuts.get(cutsKey{k.look, k.stamp.cuts, k.warped}, func() ln.Paths {
			if k.warped || len(in.Cuts) == 0 {
				return nil
			}
			through := throughKey{k.look.solid, k.stamp.cuts}
			return split(m, look, v.through.get(through, func() []hidden.Path { return cutPaths(m, in.Cuts) })).Visible
		})
		lines.hatch = v.hatch.get(hatchKey{k.look, k.stamp.overhang, k.stamp.bridged}, func() hidden.Parts {
			strokes := strokesKey{k.stamp.overhang, k.stamp.bridged, k.look.sampling.pitch}
			return split(m, look, v.stroke.get(strokes, func() []hidden.Path { return m.hatch(strokes.pitch) }))
		})
		look.Step, look.Precision = shells.step, shells.precision
		if k.shells {
			lines.shells = split(m, look, shellPaths(m, k)).Visible
		}
		lines.axes = split(m, look, axisPaths(m)).Visible
		return lines
	})
}

// spaceLines are the lines of a view in bed coordinates.
type spaceLines struct {
	edges  hidden.Parts // creases, borders and silhouettes
	hatch  hidden.Parts
	shells ln.Paths // visible
	axes   ln.Paths // visible
	cuts   ln.Paths // visible
}

// split parts paths and puts the parts of all together.
func split(m *model, look hidden.Look, paths []hidden.Path) hidden.Parts {
	var all hidden.Parts
	for _, p := range hidden.Split(m.solid, paths, look) {
		all.Visible, all.Hidden = append(all.Visible, p.Visible...), append(all.Hidden, p.Hidden...)
	}
	return all
}

// shellPaths returns the shells of all zones, fewer where they are seen edge on.
func shellPaths(m *model, k spaceKey) []hidden.Path {
	var paths []hidden.Path
	for _, z := range m.zones {
		paths = append(paths, z.decluttered(z.curves(k.shell, k.nth), k)...)
	}
	return paths
}

// hatch returns the strokes on what is unsupported: crossed ones, and parallel
// ones where beads bridge.
func (m *model) hatch(pitch float64) []hidden.Path {
	var paths []hidden.Path
	if m.overhang != nil {
		paths = strokes(m.overhang.Lines(pitch))
	}
	if m.bridged != nil {
		paths = append(paths, strokes(m.bridged.Parallel(pitch))...)
	}
	return paths
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

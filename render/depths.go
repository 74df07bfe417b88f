package render

import (
	"math"

	"conewright/render/depth"
	"conewright/render/hidden"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// depthsMemo keeps the depth map of a view.
type depthsMemo struct {
	memo[lookKey, *depth.Map]
	lastKey lookKey // of the previous call; a repeated view is worth a depth map
}

// quickFacets is the largest mesh for which a depth map is built for a single
// exact drawing. Building costs O(facets); the rays that it saves barely depend on
// the number of facets.
const quickFacets = 300_000

// facetsARay is how many facets are laid into a depth map in the time of a ray.
const facetsARay = 40

// worthDepths reports whether outlines that are judged loosely have so many points
// that a depth map is worth it for any mesh.
func worthDepths(m *model, outlines []hidden.Path) bool {
	points := 0
	for _, p := range outlines {
		points += len(p.Points)
	}
	return points*facetsARay > len(m.solid.Mesh.Facets)
}

// get returns the depth map of the part in a view. It is nil where building it
// costs more than it saves: a large part in a view that is asked for once, unless many samples ask.
func (v *depthsMemo) get(m *model, k lookKey, many bool) *depth.Map {
	again := v.lastKey == k
	v.lastKey = k
	if len(m.solid.Mesh.Facets) > quickFacets && !again && !many {
		return nil
	}
	return v.memo.get(k, func() *depth.Map {
		d := depth.New(depthView(m.solid, k))
		facing := depth.Both
		if m.solid.Closed {
			facing = depth.Fronts
		}
		d.Add(m.solid.Mesh, depth.Fill{Facing: facing})
		return d
	})
}

// cellShare is the size of the depths' cells as a share of the step of samples.
const cellShare = 0.5

// depthView returns a view of the whole solid, or of the window on it.
func depthView(s *solid.Solid, k lookKey) depth.View {
	v := depth.View{Right: k.right, Up: r3.Cross(k.toward, k.right), Toward: k.toward, Cell: cellShare * k.sampling.step}
	if k.window != (hidden.Window{}) {
		v.Min, v.Max = k.window.Min, k.window.Max
		return v
	}
	v.Min, v.Max = r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range 8 {
		p := s.Min
		if i&1 > 0 {
			p.X = s.Max.X
		}
		if i&2 > 0 {
			p.Y = s.Max.Y
		}
		if i&4 > 0 {
			p.Z = s.Max.Z
		}
		x, y := r3.Dot(p, v.Right), r3.Dot(p, v.Up)
		v.Min = r2.Vec{X: math.Min(v.Min.X, x), Y: math.Min(v.Min.Y, y)}
		v.Max = r2.Vec{X: math.Max(v.Max.X, x), Y: math.Max(v.Max.Y, y)}
	}
	margin := 2 * v.Cell // so that the cells round a point of the part are in the grid
	v.Min, v.Max = r2.Sub(v.Min, r2.Vec{X: margin, Y: margin}), r2.Add(v.Max, r2.Vec{X: margin, Y: margin})
	return v
}

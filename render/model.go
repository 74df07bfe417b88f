package render

import (
	"context"
	"math"
	"sync"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/geom/warp"
	"conewright/render/contour"
	"conewright/render/hatch"
	"conewright/render/hidden"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// model is the part as it is drawn: what all views share.
type model struct {
	solid    *solid.Solid
	radius   float64 // of the sphere about the middle that holds the part
	zones    []*zoneModel
	creases  []hidden.Path
	overhang *hatch.Patch // nil: nothing unsupported, or the part is drawn warped
	bridged  *hatch.Patch // the same of what is bridged
	// footprint is the part's convex outline seen from above, closed: its first
	// point stands at the end again.
	footprint []r3.Vec
	parts     [][]r3.Vec // the same of each part
	most      float64    // greatest z that the part reaches while it is warped
	stamp     modelStamp // changes with anything above
}

// modelStamp tells models of one Drafter apart.
type modelStamp struct{ solid, zones, overhang, bridged, cuts int }

// middle returns the centre of the part's box, with the room that its warp takes.
func (m *model) middle() r3.Vec {
	top := m.solid.Max
	top.Z = m.most
	return r3.Scale(0.5, r3.Add(m.solid.Min, top))
}

// zoneModel is a zone as it is drawn.
type zoneModel struct {
	name      string
	field     field.Field
	mesh      *mesh.Mesh // refined, lifted by the share of the warp
	surface   *mesh.Mesh // the same without caps where they are inside the part
	flat      *mesh.Mesh // the same not lifted; nil: mesh isn't either
	shells    []float64  // z + f of each vertex
	low, high float64    // of shells
	bottom    float64    // least z
	top       float64    // greatest z
	warp      float64    // the share of the lift that is drawn
	shift     float64    // and what is added to it

	mutex sync.Mutex // views ask at the same time
	drawn [keptCurves]*drawnCurves
}

// drawnCurves are every nth shell on a zone's surface.
type drawnCurves struct {
	shell float64
	nth   int
	once  sync.Once
	paths []hidden.Path
	ranks []int // of each path: which of the shells drawn it is
}

// keptCurves is how many sets of curves a zone keeps: one for the plan, one
// for the pictorial view; where both want the same it is made once.
const keptCurves = 2

// mid returns the height of the zone's middle before it is warped.
func (z *zoneModel) mid() float64 { return (z.bottom + z.top) / 2 }

// zoneKey is what a zoneModel is made from.
type zoneKey struct {
	name        string
	mesh        *mesh.Mesh
	field       field.Field
	warp, shift float64
	coarse      bool
}

// coarseFacets is the number of facets from which a mesh is not refined for a
// coarse drawing: its facets are small already.
const coarseFacets = 100_000

// drawTolerance is how far a refined facet may stray from a shell, mm: less
// than a thin line is wide at usual scales.
const drawTolerance = 0.05

// newZone prepares a zone. A mesh that can't be refined (it would get too many
// facets) is drawn unrefined: its shells are less exact then.
func newZone(k zoneKey) *zoneModel {
	z := &zoneModel{name: k.name, field: k.field, warp: k.warp, shift: k.shift, mesh: k.mesh}
	if !k.coarse || len(k.mesh.Facets) < coarseFacets {
		if refined, err := warp.Refine(context.Background(), k.mesh, &k.field, drawTolerance); err == nil {
			z.mesh = refined
		}
	}
	z.measure()
	z.surface = z.mesh
	if k.warp > 0 {
		z.flat = z.mesh
		z.mesh = z.lifted()
		z.surface = z.mesh
	} else if z.mesh.Origins != nil {
		z.surface = withoutCaps(z.mesh)
	}
	return z
}

func (z *zoneModel) measure() {
	z.shells = make([]float64, len(z.mesh.Vertices))
	if len(z.shells) == 0 {
		z.low, z.high, z.bottom, z.top = 0, 0, 0, 0
		return
	}
	blocks := make([]reach, parallel.SpanCount(len(z.shells), parallel.Stretch))
	parallel.Spans(len(z.shells), parallel.Stretch, func(block, from, to int) {
		r := noReach()
		for i := from; i < to; i++ {
			v := z.mesh.Vertices[i]
			c := v.Z + z.field.At(r2.Vec{X: v.X, Y: v.Y})
			z.shells[i] = c
			r = r.with(reach{c, c, v.Z, v.Z})
		}
		blocks[block] = r
	})
	all := noReach()
	for _, r := range blocks {
		all = all.with(r)
	}
	z.low, z.high, z.bottom, z.top = all.low, all.high, all.bottom, all.top
}

// reach is the extent of a zone: lowest and highest shell, lowest and highest z.
type reach struct{ low, high, bottom, top float64 }

func noReach() reach {
	inf := math.Inf(1)
	return reach{inf, -inf, inf, -inf}
}

func (r reach) with(o reach) reach {
	return reach{min(r.low, o.low), max(r.high, o.high), min(r.bottom, o.bottom), max(r.top, o.top)}
}

func (z *zoneModel) lifted() *mesh.Mesh {
	m := &mesh.Mesh{Facets: z.mesh.Facets, Origins: z.mesh.Origins, Vertices: make([]r3.Vec, len(z.mesh.Vertices))}
	for i, v := range z.mesh.Vertices {
		v.Z += z.lift(r2.Vec{X: v.X, Y: v.Y})
		m.Vertices[i] = v
	}
	return m
}

func withoutCaps(m *mesh.Mesh) *mesh.Mesh {
	s := &mesh.Mesh{Vertices: m.Vertices}
	for i, f := range m.Facets {
		if m.Origins[i] == mesh.Surface {
			s.Facets = append(s.Facets, f)
		}
	}
	return s
}

// levels returns every nth shell of the given thickness.
func (z *zoneModel) levels(shell float64, nth int) []float64 {
	step := shell / math.Cos(z.field.Angle()) * float64(nth)
	var levels []float64
	if !(step > 0) || (z.high-z.low)/step > mostShells {
		return nil
	}
	for i := 1; z.low+float64(i)*step < z.high; i++ {
		levels = append(levels, z.low+float64(i)*step)
	}
	return levels
}

// mostShells bounds the shells that are drawn of a zone.
const mostShells = 5000

// curves returns every nth shell on the zone's surface.
func (z *zoneModel) curves(shell float64, nth int) *drawnCurves {
	d := z.curvesEntry(shell, nth)
	d.once.Do(func() { d.paths, d.ranks = z.follow(shell, nth) })
	return d
}

func (z *zoneModel) curvesEntry(shell float64, nth int) *drawnCurves {
	z.mutex.Lock()
	defer z.mutex.Unlock()
	for _, d := range z.drawn {
		if d != nil && d.nth == nth && d.shell == shell {
			return d
		}
	}
	d := &drawnCurves{shell: shell, nth: nth}
	copy(z.drawn[1:], z.drawn[:])
	z.drawn[0] = d
	return d
}

func (z *zoneModel) follow(shell float64, nth int) (paths []hidden.Path, ranks []int) {
	normal := func(facet int32) r3.Vec {
		a, b, c := z.surface.Corners(int(facet))
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if l := r3.Norm(n); l > 0 {
			return r3.Scale(1/l, n)
		}
		return r3.Vec{}
	}
	lines := contour.Lines(z.surface, z.shells, z.levels(shell, nth))
	paths, ranks = make([]hidden.Path, len(lines)), make([]int, len(lines))
	var normals []r3.Vec // of all lines in a row
	for i, l := range lines {
		first := len(normals)
		for _, f := range l.Facets {
			normals = append(normals, normal(f))
		}
		paths[i] = hidden.Path{Points: l.Points, Normals: normals[first:len(normals):len(normals)], InFacets: true}
		ranks[i] = l.Level
	}
	return paths, ranks
}

// join puts the lifted zones' meshes into one; flat are the normals of its facets
// before they were lifted, bent those of the lifted surface in their middles.
func join(zones []*zoneModel) (m *mesh.Mesh, flat, bent []r3.Vec) {
	m = &mesh.Mesh{}
	for _, z := range zones {
		base := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, z.mesh.Vertices...)
		for i, f := range z.mesh.Facets {
			m.Facets = append(m.Facets, [3]int32{f[0] + base, f[1] + base, f[2] + base})
			n, middle := z.flatNormal(i)
			flat = append(flat, n)
			bent = append(bent, z.bentNormal(n, middle))
		}
	}
	return m, flat, bent
}

// flatNormal returns a facet's normal before it was lifted, and its middle.
func (z *zoneModel) flatNormal(i int) (n, middle r3.Vec) {
	a, b, c := z.flat.Corners(i)
	n = r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if l := r3.Norm(n); l > 0 {
		n = r3.Scale(1/l, n)
	}
	return n, r3.Scale(1./3, r3.Add(a, r3.Add(b, c)))
}

// bentNormal returns what becomes of a normal at a place when that is lifted: a
// plane's steps d turn into d + up (g.d), g being the gradient of the lift.
func (z *zoneModel) bentNormal(n, at r3.Vec) r3.Vec {
	g, _ := z.field.Grad(r2.Vec{X: at.X, Y: at.Y})
	n.X, n.Y = n.X-n.Z*z.warp*g.X, n.Y-n.Z*z.warp*g.Y
	if l := r3.Norm(n); l > 0 {
		return r3.Scale(1/l, n)
	}
	return n
}

func chainPaths(chains []solid.Chain) []hidden.Path {
	paths := make([]hidden.Path, len(chains))
	for i, c := range chains {
		paths[i] = hidden.Path{Points: c.Points, Normals: c.Normals}
	}
	return paths
}

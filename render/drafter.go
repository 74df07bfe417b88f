package render

import (
	"math"
	"slices"

	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/render/drawing"
	"conewright/render/hatch"
	"conewright/render/hidden"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sheet returns the drawing of an input. The same input always gives the same
// drawing.
func Sheet(in Input) *drawing.Drawing { return NewDrafter().Sheet(in) }

// Drafter draws sheet after sheet and keeps from one to the next what didn't
// change: hierarchies, creases, shells, hidden lines of views that weren't
// turned. That changes how soon Sheet returns; what it returns differs by no more
// than a line's width. A Drafter must not be used by two goroutines at once.
type Drafter struct {
	zones     []memo[zoneKey, *zoneModel]
	solid     memo[solidKey, *solid.Solid]
	creases   memo[int, []hidden.Path]
	overhang  memo[overhangKey, *hatch.Patch]
	bridged   memo[overhangKey, *hatch.Patch]
	footprint memo[int, []r3.Vec]
	parts     []memo[*mesh.Mesh, []r3.Vec] // footprints
	cuts      []Cut                        // as they were last
	cutStamp  int

	elevation elevationMemo
	plan      spaceMemo
	pictorial spaceMemo
}

// NewDrafter returns a Drafter that keeps nothing yet.
func NewDrafter() *Drafter { return &Drafter{} }

// Sheet returns the drawing of an input.
func (d *Drafter) Sheet(in Input) *drawing.Drawing {
	in = in.filled()
	m := d.model(&in)
	l := newLayout(&in, m)
	s := &sketch{drawing: &drawing.Drawing{Size: in.Options.Size, Fit: l.fit}, in: &in}
	lines := d.lines(s, m, l)
	if in.Options.shows(drawing.Elevation) {
		s.elevation(m, l.elevation, lines.key, lines.elevation)
	}
	if in.Options.shows(drawing.Plan) {
		s.plan(m, l.plan, lines.plan)
	}
	if in.Options.shows(drawing.Pictorial) {
		s.pictorial(m, l.pictorial, lines.pictorial)
	}
	s.borders()
	s.furniture(m, l)
	return s.drawing
}

// viewLines are the lines of all views, in bed coordinates.
type viewLines struct {
	key             elevationKey
	elevation       elevationLines
	plan, pictorial spaceLines
}

// lines finds what changed of the views' lines, all views at once: their
// results don't depend on each other.
func (d *Drafter) lines(s *sketch, m *model, l *layout) viewLines {
	v := viewLines{key: s.elevationKey(m, &l.elevation)}
	plan, pictorial := s.spaceKey(m, &l.plan, flatGap), s.spaceKey(m, &l.pictorial, pictorialGap)
	if s.in.Options.Coarse { // the same shells in both, so that they are made once
		both := max(plan.nth, pictorial.nth)
		plan.nth, pictorial.nth = both, both
	}
	var views []func()
	if s.in.Options.shows(drawing.Elevation) {
		views = append(views, func() { v.elevation = d.elevation.get(m, v.key, s.in.Options.Moving) })
	}
	if s.in.Options.shows(drawing.Plan) {
		views = append(views, func() { v.plan = d.plan.get(m, s.in, plan) })
	}
	if s.in.Options.shows(drawing.Pictorial) {
		views = append(views, func() { v.pictorial = d.pictorial.get(m, s.in, pictorial) })
	}
	parallel.Do(views...)
	return v
}

// solidKey is what the solid is made from: the part's mesh, or the zones' as
// they are lifted.
type solidKey struct {
	mesh  *mesh.Mesh
	zones int // stamps of all zones in one, 0 where the part's own mesh is drawn
}

// stampBase is a prime that keeps apart the stamps of several zones in one
// number.
const stampBase = 1_000_003

type overhangKey struct {
	first *[3]r3.Vec
	count int
}

func (d *Drafter) model(in *Input) *model {
	m := &model{}
	for len(d.zones) < len(in.Zones) {
		d.zones = append(d.zones, memo[zoneKey, *zoneModel]{})
	}
	shift := make([]float64, len(in.Zones))
	if in.Warp > 0 {
		shift = shifts(in.Zones, in.Warp)
	}
	for i, z := range in.Zones {
		k := zoneKey{z.Name, z.Mesh, z.Field, in.Warp, shift[i], in.Options.Coarse}
		if in.Options.Moving && !d.zones[i].has(k) {
			k.coarse = true // its field is dragged
		}
		m.zones = append(m.zones, d.zones[i].get(k, func() *zoneModel { return newZone(k) }))
		m.stamp.zones = m.stamp.zones*stampBase + d.zones[i].stamp
	}
	key := solidKey{mesh: in.Mesh}
	if in.Warp > 0 && len(m.zones) > 0 {
		key = solidKey{zones: m.stamp.zones}
	}
	m.solid = d.solid.get(key, func() *solid.Solid {
		if key.mesh == nil {
			return solid.Bent(join(m.zones))
		}
		return solid.New(key.mesh)
	})
	m.stamp.solid = d.solid.stamp
	m.radius, m.most = m.solid.Radius, m.solid.Max.Z
	if in.Warp > 0 || in.Options.WarpRoom { // all of the way fits, so that the views stay on it
		m.most = math.Max(m.most, highest(in.Zones, 1))
		half := r3.Sub(m.middle(), m.solid.Min)
		m.radius = r3.Norm(half)
	}
	m.footprint = d.footprint.get(d.solid.stamp, func() []r3.Vec { return outlineInPlan(m.solid.Mesh.Vertices) })
	for len(d.parts) < len(in.Parts) {
		d.parts = append(d.parts, memo[*mesh.Mesh, []r3.Vec]{})
	}
	for i, p := range in.Parts {
		m.parts = append(m.parts, d.parts[i].get(p.Mesh, func() []r3.Vec { return outlineInPlan(p.Mesh.Vertices) }))
	}
	m.creases = d.creases.get(d.solid.stamp, func() []hidden.Path { return chainPaths(m.solid.Creases()) })
	if !slices.Equal(d.cuts, in.Cuts) {
		d.cuts = slices.Clone(in.Cuts)
		d.cutStamp++
	}
	m.stamp.cuts = d.cutStamp
	if in.Warp == 0 {
		m.overhang, m.stamp.overhang = patch(&d.overhang, in.Overhang)
		m.bridged, m.stamp.bridged = patch(&d.bridged, in.Bridged)
	}
	return m
}

// patch returns the patch of triangles and its stamp; nil and 0 of none.
func patch(kept *memo[overhangKey, *hatch.Patch], triangles [][3]r3.Vec) (*hatch.Patch, int) {
	if len(triangles) == 0 {
		return nil, 0
	}
	p := kept.get(overhangKey{&triangles[0], len(triangles)}, func() *hatch.Patch { return hatch.New(triangles) })
	return p, kept.stamp
}

// filled puts in what zeros stand for.
func (in Input) filled() Input {
	o := &in.Options
	if !(o.Size.X > 0 && o.Size.Y > 0) {
		o.Size.X, o.Size.Y = 420, 297
	}
	if !(in.Shell > 0) {
		in.Shell = 0.2
	}
	if in.Mesh == nil {
		in.Mesh = &mesh.Mesh{}
	}
	in.Zones = slices.Clone(in.Zones)
	for i := range in.Zones {
		if in.Zones[i].Mesh == nil {
			in.Zones[i].Mesh = in.Mesh
		}
	}
	in.Texts = in.Texts.filled()
	if !in.View.Set && in.View.Azimuth == 0 && in.View.Elevation == 0 {
		in.View.Azimuth, in.View.Elevation = usualAzimuth, usualElevation
	}
	in.View.Zoom, in.View.Pan = zoom(in.View.Zoom), pan(in.View.Pan)
	in.Flat.Zoom, in.Flat.Pan = zoom(in.Flat.Zoom), pan(in.Flat.Pan)
	if !(in.Warp > 0) {
		in.Warp = 0
	}
	return in
}

// Bounds of zoom and pan (mm of paper), beyond which there is nothing to see.
const (
	mostZoom = 200
	mostPan  = 1e5
)

func zoom(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	return math.Min(v, mostZoom)
}

func pan(v r2.Vec) r2.Vec {
	bound := func(v float64) float64 {
		if math.IsNaN(v) {
			return 0
		}
		return math.Max(-mostPan, math.Min(v, mostPan))
	}
	return r2.Vec{X: bound(v.X), Y: bound(v.Y)}
}

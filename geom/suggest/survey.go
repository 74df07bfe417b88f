package suggest

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/zone"
)

const slackDeg = overhang.SlackDeg

// survey is the part's surface, made ready for judging many fields roughly and
// quickly: facets small enough to be judged as a whole, and who is whose
// neighbour.
type survey struct {
	mesh               *mesh.Mesh
	limitDeg, steepest float64
	limit              float64 // unsupported where n.m < -limit
	layer              float64 // least rise of a start, mm
	suspect            []suspect
	start              []int32 // vertex v's facets are facetOf[start[v]:start[v+1]]
	facetOf            []int32
	bed                []bool     // vertices of facets on the bed
	plan               *planIndex // where there are several bodies; else nil
}

// suspect is a facet that some field may leave unsupported.
type suspect struct {
	normal r3.Vec
	at     r3.Vec
	area   float64
}

// newSurvey surveys m, whose facets are small already, for shells of angles up
// to steepest (degrees).
func newSurvey(m *mesh.Mesh, limitDeg, steepest, layer float64) *survey {
	s := &survey{mesh: m, limitDeg: limitDeg, steepest: steepest, limit: math.Sin((limitDeg + slackDeg) * math.Pi / 180), layer: layer}
	slope := math.Tan(steepest * math.Pi / 180)
	worst := math.Sqrt(1 + slope*slope)
	s.bed = make([]bool, len(m.Vertices))
	s.start = make([]int32, len(m.Vertices)+1)
	for i, t := range m.Facets {
		for _, v := range t {
			s.start[v+1]++
		}
		if zone.IsBase(m, i) {
			s.bed[t[0]], s.bed[t[1]], s.bed[t[2]] = true, true, true
			continue
		}
		a, b, c := m.Corners(i)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		size := r3.Norm(n)
		if size == 0 {
			continue
		}
		n = r3.Scale(1/size, n)
		if n.Z >= 0 && (n.Z-slope*math.Hypot(n.X, n.Y))/worst >= -s.limit {
			continue // no shell within reach leans that far
		}
		at := r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
		s.suspect = append(s.suspect, suspect{n, at, size / 2})
	}
	for i := range len(m.Vertices) {
		s.start[i+1] += s.start[i]
	}
	next := slices.Clone(s.start)
	s.facetOf = make([]int32, 3*len(m.Facets))
	for i, t := range m.Facets {
		for _, v := range t {
			s.facetOf[next[v]] = int32(i)
			next[v]++
		}
	}
	return s
}

// verdict is a rough judgement of a field.
type verdict struct {
	area   []float64 // unsupported, mm2, of each interval of heights
	starts []r3.Vec  // lowest first
	// fragile are places where a shell would begin in mid-air if the field were
	// turned by little one way or the other: a free edge that a ramp meets all
	// along at once. True starts are among them twice.
	fragile []r3.Vec
}

// scratch is one goroutine's work space.
type scratch struct {
	height []float64
	later  []bool
	seen   []int32
	stamp  int32
	queue  []int32
}

func (s *survey) scratch() *scratch {
	n := len(s.mesh.Vertices)
	return &scratch{height: make([]float64, n), later: make([]bool, n), seen: make([]int32, n)}
}

// judge judges f: the unsupported area between each two of the heights, which
// ascend, and the mid-air starts. in, if not nil, tells which places count.
func (s *survey) judge(w *scratch, f *field.Field, heights []float64, in func(p r3.Vec) bool) verdict {
	v := verdict{area: make([]float64, len(heights)-1)}
	for i := range s.suspect {
		q := &s.suspect[i]
		m := f.Normal(r2.Vec{X: q.at.X, Y: q.at.Y})
		if r3.Dot(q.normal, m) < -s.limit && (in == nil || in(q.at)) {
			v.area[interval(heights, q.at.Z)] += q.area
		}
	}
	keep := func(all []r3.Vec) (kept []r3.Vec) {
		for _, at := range all {
			if in == nil || in(at) {
				kept = append(kept, at)
			}
		}
		return kept
	}
	v.starts = keep(s.starts(w, f))
	if f.Linear() && !f.Level() {
		for _, side := range [...]float64{1, -1} {
			turned := f.Turned(side * fragileDeg * math.Pi / 180)
			v.fragile = append(v.fragile, keep(s.starts(w, &turned))...)
		}
	}
	return v
}

// fragileDeg is by how much a ramp is turned to see whether it stands on the
// edge: far less than the step between those tried.
const fragileDeg = 4

// count returns how many starts, and how many more fragile ones, lie between
// two heights.
func (v *verdict) count(low, high float64) (starts, fragile int) {
	in := func(list []r3.Vec) (n int) {
		for _, p := range list {
			if p.Z >= low-onCut && p.Z < high-onCut {
				n++
			}
		}
		return n
	}
	starts = in(v.starts)
	return starts, max(0, in(v.fragile)-2*starts)
}

// onCut is how far, mm, under a cut a place may lie and still count as over it:
// a level underside is cut at its very height.
const onCut = 1e-3

// interval returns which interval of heights z lies in.
func interval(heights []float64, z float64) int {
	k := sort.SearchFloat64s(heights, z+onCut) - 1
	return max(0, min(k, len(heights)-2))
}

// starts returns where shells of f begin in mid-air, by the same rule as
// overhang.MidairStarts on the unrefined mesh: a minimum of z + f counts if no
// lower place can be reached without rising by half a layer.
func (s *survey) starts(w *scratch, f *field.Field) []r3.Vec {
	m := s.mesh
	for i, p := range m.Vertices {
		w.height[i] = p.Z + f.At(r2.Vec{X: p.X, Y: p.Y})
		w.later[i] = false
	}
	h := w.height
	for _, t := range m.Facets {
		a, b, c := t[0], t[1], t[2]
		if before(h, a, b) {
			w.later[b] = true
		} else {
			w.later[a] = true
		}
		if before(h, b, c) {
			w.later[c] = true
		} else {
			w.later[b] = true
		}
		if before(h, c, a) {
			w.later[a] = true
		} else {
			w.later[c] = true
		}
	}
	var out []r3.Vec
	for v := range m.Vertices {
		if w.later[v] || s.start[v] == s.start[v+1] || s.bed[v] || m.Vertices[v].Z < s.layer {
			continue
		}
		if s.begins(w, f, int32(v)) && (s.plan == nil || !s.buried(m.Vertices[v])) {
			out = append(out, m.Vertices[v])
		}
	}
	slices.SortStableFunc(out, func(a, b r3.Vec) int {
		switch {
		case a.Z < b.Z:
			return -1
		case a.Z > b.Z:
			return 1
		}
		return 0
	})
	return out
}

func before(h []float64, a, b int32) bool { return h[a] < h[b] || h[a] == h[b] && a < b }

// flat is a difference of height, mm, that means nothing (as in geom/overhang).
const flat = 1e-4

// begins floods the surface from the minimum v up to half a layer and reports
// whether solid is born there with nothing lower in reach.
func (s *survey) begins(w *scratch, f *field.Field, v int32) bool {
	least := w.height[v]
	rise := math.Max(s.layer, s.bow(f, v))
	w.stamp++
	w.seen[v] = w.stamp
	w.queue = append(w.queue[:0], v)
	born := false
	for k := 0; k < len(w.queue); k++ {
		u := w.queue[k]
		low := w.height[u] < least+flat
		if low && s.bed[u] {
			return false
		}
		if low && !born && !w.later[u] {
			born = s.down(w, u)
		}
		for _, i := range s.facetOf[s.start[u]:s.start[u+1]] {
			for _, n := range s.mesh.Facets[i] {
				if w.seen[n] == w.stamp || w.height[n] >= least+rise {
					continue
				}
				if before(w.height, n, v) {
					return false
				}
				w.seen[n] = w.stamp
				w.queue = append(w.queue, n)
			}
		}
	}
	return born
}

// bow returns by how much the lift between the vertices about v may be off the
// edges' chords: e^2 / 8 of its second derivative, for an edge of length e, and
// at a corner of the lift a quarter of e times its slope. A minimum that is less deep
// may be none; whether it is, the exact judgement tells.
func (s *survey) bow(f *field.Field, v int32) float64 {
	if f.Linear() {
		return 0
	}
	p, longest2 := s.mesh.Vertices[v], 0.0
	for _, i := range s.facetOf[s.start[v]:s.start[v+1]] {
		for _, n := range s.mesh.Facets[i] {
			q := s.mesh.Vertices[n]
			longest2 = math.Max(longest2, (q.X-p.X)*(q.X-p.X)+(q.Y-p.Y)*(q.Y-p.Y))
		}
	}
	bend := math.Min(f.Bend(r2.Vec{X: p.X, Y: p.Y}, 0), 2*f.Slope()/math.Sqrt(longest2))
	return longest2 / 8 * bend
}

// down reports whether the angle-weighted normal of the lifted surface points
// down at v.
func (s *survey) down(w *scratch, v int32) bool {
	lifted := func(i int32) r3.Vec {
		p := s.mesh.Vertices[i]
		p.Z = w.height[i]
		return p
	}
	sum, o := 0.0, lifted(v)
	for _, i := range s.facetOf[s.start[v]:s.start[v+1]] {
		t := s.mesh.Facets[i]
		k := 0
		for t[k] != v {
			k++
		}
		p, q := r3.Sub(lifted(t[(k+1)%3]), o), r3.Sub(lifted(t[(k+2)%3]), o)
		c := r3.Cross(p, q)
		if size := r3.Norm(c); size > 0 {
			sum += math.Atan2(size, r3.Dot(p, q)) * c.Z / size
		}
	}
	return sum < 0
}

package register

// planar_test.go is a little planar generator for tests: sections, walls,
// lines for fill, and a dialect to say it in. It is written apart from
// geom/planner and knows nothing of it, nor of this package's own cutting, so
// that they can't share a fault.

import (
	"fmt"
	"math"
	"sort"

	clipper "github.com/ctessum/go.clipper"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

type dialect struct {
	name       string
	relativeE  bool
	inches     bool
	arcs       bool
	hop        float64
	resetE     bool // G92 E0 at each layer
	numbers    bool // N and checksums
	dense      bool // no blanks, lower case
	crlf       bool
	comments   string // "", ";", "("
	skirts     int    // loops
	skirtTall  int    // layers
	brim       int    // loops
	raft       int    // layers
	prime      bool
	primeZ     float64 // 0: 0.27
	firmware   bool    // G10 G11
	wipe       bool
	walls      int
	fill       float64 // 0..1
	squeeze    float64 // first layer drawn in
	smooth     bool    // the top face is gone over with a tenth of the filament
	spiral     bool
	heights    []float64 // layer heights, repeated; nil: h
	width      float64
	park       string  // ending
	relativeXY bool    // hops in G91
	shiftG92   bool    // the file's frame renamed midway
	cut        float64 // beads are cut this fine; 0: not at all
}

// job is one file to be made.
type planarJob struct {
	m     *mesh.Mesh
	h     float64
	d     dialect
	shift r3.Vec
	drop  float64 // how much lies under the bed
	also  []planarJob
	bend  func(p r3.Vec) float64 // lowers each place of the result
	skip  func(mid float64) bool // layers left out
}

type planarFile struct {
	text     []byte
	filament float64 // of the part
	off      int     // beads off the part
	first    int     // line of the part's first bead
}

type poly []r2.Vec

const unit = 1e4

func toClip(ps []poly) clipper.Paths {
	var out clipper.Paths
	for _, p := range ps {
		var q clipper.Path
		for _, v := range p {
			q = append(q, &clipper.IntPoint{X: clipper.CInt(math.Round(v.X * unit)), Y: clipper.CInt(math.Round(v.Y * unit))})
		}
		out = append(out, q)
	}
	return out
}

func inset(ps []poly, by float64) []poly {
	if len(ps) == 0 {
		return nil
	}
	co := clipper.NewClipperOffset()
	co.ArcTolerance = 20
	co.MiterLimit = 4
	co.AddPaths(toClip(ps), clipper.JtMiter, clipper.EtClosedPolygon)
	var out []poly
	for _, q := range co.Execute(-by * unit) {
		var p poly
		for _, v := range q {
			p = append(p, r2.Vec{X: float64(v.X) / unit, Y: float64(v.Y) / unit})
		}
		if len(p) > 2 {
			out = append(out, p)
		}
	}
	return out
}

// contours cuts the mesh at z and links the cuts end to end.
func contours(m *mesh.Mesh, z float64) []poly {
	type cut struct{ a, b r2.Vec }
	var cuts []cut
	for i := range m.Facets {
		p, q, r := m.Corners(i)
		var in, out []r2.Vec
		for _, e := range [3][2]r3.Vec{{p, q}, {q, r}, {r, p}} {
			if (e[0].Z >= z) == (e[1].Z >= z) {
				continue
			}
			lo, hi := e[0], e[1]
			if lo.Z > hi.Z {
				lo, hi = hi, lo
			}
			t := (z - lo.Z) / (hi.Z - lo.Z)
			at := r2.Vec{X: lo.X + t*(hi.X-lo.X), Y: lo.Y + t*(hi.Y-lo.Y)}
			if e[0].Z >= z { // going down
				in = append(in, at)
			} else {
				out = append(out, at)
			}
		}
		if len(in) == 1 && len(out) == 1 && r2.Norm(r2.Sub(in[0], out[0])) > 1e-9 {
			// Seen from outside a facet runs counter-clockwise, so the cut runs
			// from where it goes down to where it comes up, or back: the solid
			// is to be on the left.
			cuts = append(cuts, cut{in[0], out[0]})
		}
	}
	key := func(v r2.Vec) [2]int64 {
		return [2]int64{int64(math.Round(v.X * 1e5)), int64(math.Round(v.Y * 1e5))}
	}
	from := map[[2]int64][]int{}
	for i, c := range cuts {
		from[key(c.a)] = append(from[key(c.a)], i)
	}
	used := make([]bool, len(cuts))
	var out []poly
	for i := range cuts {
		if used[i] {
			continue
		}
		var p poly
		for k := i; k >= 0; {
			used[k] = true
			p = append(p, cuts[k].a)
			next := -1
			for dx := int64(-1); dx <= 1 && next < 0; dx++ {
				for dy := int64(-1); dy <= 1 && next < 0; dy++ {
					b := key(cuts[k].b)
					for _, n := range from[[2]int64{b[0] + dx, b[1] + dy}] {
						if !used[n] {
							next = n
							break
						}
					}
				}
			}
			k = next
		}
		if p = coarser(p); len(p) > 2 {
			out = append(out, p)
		}
	}
	return out
}

// coarser leaves out corners that are next to the last one: offsetting makes
// spikes of them.
func coarser(p poly) poly {
	var out poly
	for _, v := range p {
		if len(out) == 0 || r2.Norm(r2.Sub(v, out[len(out)-1])) > 0.02 {
			out = append(out, v)
		}
	}
	return out
}

func area(ps []poly) float64 {
	s := 0.0
	for _, p := range ps {
		for i := range p {
			s += r2.Cross(p[i], p[(i+1)%len(p)]) / 2
		}
	}
	return s
}

// lines fills polygons with straight lines, alternately along x and y.
func lines(ps []poly, pitch float64, across bool) [][2]r2.Vec {
	swap := func(v r2.Vec) r2.Vec {
		if across {
			return r2.Vec{X: v.Y, Y: v.X}
		}
		return v
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		for _, v := range p {
			lo, hi = math.Min(lo, swap(v).Y), math.Max(hi, swap(v).Y)
		}
	}
	var out [][2]r2.Vec
	for y, turn := lo+pitch/2+1e-5, false; y < hi; y, turn = y+pitch, !turn {
		var xs []float64
		for _, p := range ps {
			for i := range p {
				a, b := swap(p[i]), swap(p[(i+1)%len(p)])
				if (a.Y >= y) != (b.Y >= y) {
					xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		sort.Float64s(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			s := [2]r2.Vec{swap(r2.Vec{X: xs[i], Y: y}), swap(r2.Vec{X: xs[i+1], Y: y})}
			if turn {
				s[0], s[1] = s[1], s[0]
			}
			if xs[i+1]-xs[i] > 0.3 {
				out = append(out, s)
			}
		}
	}
	return out
}

func (s *sayer) layerBody(ps []poly, z, h float64, k int) {
	w := s.d.width
	area := (w-h)*h + math.Pi*h*h/4
	perMM := area / (math.Pi / 4 * 1.75 * 1.75)
	for i := s.d.walls - 1; i >= 0; i-- {
		for _, p := range inset(ps, (float64(i)+0.5)*w) {
			s.loop(p, z, perMM)
		}
	}
	if s.d.fill > 0 {
		for _, l := range lines(inset(ps, (float64(s.d.walls)+0.3)*w), w/s.d.fill, k%2 == 1) {
			s.travel(r3.Vec{X: l[0].X, Y: l[0].Y, Z: z})
			s.bead(r3.Vec{X: l[1].X, Y: l[1].Y, Z: z}, perMM)
		}
	}
}

func moved(ps []poly, d r3.Vec) []poly {
	var out []poly
	for _, p := range ps {
		var q poly
		for _, v := range p {
			q = append(q, r2.Vec{X: v.X + d.X, Y: v.Y + d.Y})
		}
		out = append(out, q)
	}
	return out
}

// make writes the file.
func (j planarJob) make() planarFile {
	s := &sayer{d: j.d, bend: j.bend}
	s.start()
	top := 0.0
	for _, v := range j.m.Vertices {
		top = math.Max(top, v.Z)
	}
	z0 := -j.drop
	if j.d.raft > 0 {
		z0 = s.raft(moved(contours(j.m, 0.05), j.shift), j.h)
	}
	if j.d.spiral {
		s.spiral(j, top)
	}
	for k, z := 0, 0.0; !j.d.spiral; k++ {
		h := j.h
		if len(j.d.heights) > 0 {
			h = j.d.heights[k%len(j.d.heights)]
		}
		mid := z + h/2
		if z += h; mid >= top {
			break
		}
		if z+z0 <= 0.3*h || j.skip != nil && j.skip(mid) {
			continue
		}
		ps := moved(contours(j.m, mid), j.shift)
		if len(ps) == 0 {
			continue
		}
		s.say("", fmt.Sprintf("layer %d", k))
		if s.d.resetE && !s.d.relativeE {
			s.say("G92 E0", "")
			s.e = 0
		}
		around(s, ps, z+z0, h, k)
		body := ps
		if k == 0 && j.d.squeeze > 0 {
			body = inset(ps, j.d.squeeze)
		}
		s.part = true
		s.layerBody(body, z+z0, h, k)
		for _, other := range j.also {
			s.layerBody(moved(contours(other.m, mid), other.shift), z+z0, h, k)
		}
		if j.d.smooth && z+h/2 >= top {
			for _, l := range lines(inset(ps, s.d.width), 0.2, true) {
				s.travel(r3.Vec{X: l[0].X, Y: l[0].Y, Z: z + z0})
				s.bead(r3.Vec{X: l[1].X, Y: l[1].Y, Z: z + z0}, 0.1*s.d.width*h/(math.Pi/4*1.75*1.75))
			}
		}
		s.part = false
		if s.d.shiftG92 && k%5 == 2 {
			s.say(fmt.Sprintf("G92 X%s Y%s", s.num(s.pos.X-s.off.X-3), s.num(s.pos.Y-s.off.Y+2)), "")
			s.off = r3.Add(s.off, r3.Vec{X: 3, Y: -2})
		}
	}
	s.end()
	s.file.text = s.b.Bytes()
	return s.file
}

func around(s *sayer, ps []poly, z, h float64, k int) {
	w := s.d.width
	perMM := ((w-h)*h + math.Pi*h*h/4) / (math.Pi / 4 * 1.75 * 1.75)
	if k < max(1, s.d.skirtTall) {
		for i := range s.d.skirts {
			for _, p := range inset(ps, -5-float64(i)*w) {
				s.loop(p, z, perMM)
			}
		}
	}
	if k == 0 {
		for i := s.d.brim - 1; i >= 0; i-- {
			for _, p := range inset(ps, -(float64(i)+0.5)*w) {
				if area([]poly{p}) > 0 { // holes have no brim
					s.loop(p, z, perMM)
				}
			}
		}
	}
}

func (s *sayer) raft(ps []poly, h float64) float64 {
	z := 0.0
	for k := range s.d.raft {
		z += 0.3
		pitch, perMM := 2.0, 0.12
		if k == s.d.raft-1 {
			pitch, perMM = s.d.width, 0.05
		}
		for _, l := range lines(inset(ps, -4), pitch, k%2 == 0) {
			s.travel(r3.Vec{X: l[0].X, Y: l[0].Y, Z: z})
			s.bead(r3.Vec{X: l[1].X, Y: l[1].Y, Z: z}, perMM)
		}
	}
	return z + 0.15
}

func (s *sayer) spiral(j planarJob, top float64) {
	w, h := s.d.width, j.h
	area := (w-h)*h + math.Pi*h*h/4
	perMM := area / (math.Pi / 4 * 1.75 * 1.75)
	s.part = true
	for z := h; z < h*2.5; z += h { // a level foot
		s.layerBody(moved(contours(j.m, z-h/2), j.shift), z, h, 0)
	}
	for z := 3 * h; z < top; z += h {
		ps := inset(moved(contours(j.m, z-h/2), j.shift), w/2)
		if len(ps) != 1 {
			break
		}
		p := ps[0]
		// Begin where the last turn ended.
		best := 0
		for i := range p {
			if math.Hypot(p[i].X-s.pos.X, p[i].Y-s.pos.Y) < math.Hypot(p[best].X-s.pos.X, p[best].Y-s.pos.Y) {
				best = i
			}
		}
		length, done := 0.0, 0.0
		for i := range p {
			length += r2.Norm(r2.Sub(p[(i+1)%len(p)], p[i]))
		}
		for i := range p {
			a, b := p[(best+i)%len(p)], p[(best+i+1)%len(p)]
			done += r2.Norm(r2.Sub(b, a))
			s.bead(r3.Vec{X: b.X, Y: b.Y, Z: z - h + h*done/length}, perMM)
		}
	}
	s.part = false
}

package register

import (
	"cmp"
	"context"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/motion"
)

const (
	// lowHeight and lowCount: skirts, brims and priming lines reach no higher
	// above the part's first layer than the greater of both (mm, layers). Above
	// a bead off the part is a misfit.
	lowHeight = 1.5
	lowCount  = 5
	// squeezed is how far the outline of the first squeezedHeight mm may be
	// drawn in beside what is allowed everywhere, mm: compensation of the
	// first layer's spreading.
	squeezed, squeezedHeight = 0.4, 1.0
	// heightSlack is how uncertain heights are, mm; on a slope the outline may
	// be off by as much times the slope.
	heightSlack = 0.03
	// outlineStep is the distance of places on the outline that must have a
	// bead, mm.
	outlineStep = 0.8
	// mostOutline bounds them a layer.
	mostOutline = 2500
	// far is what is told of a bead or an outline with nothing near, mm.
	far = 2.0
)

// A verifier is the third pass: every bead must lie in the part, and along
// every outline that a bead can reach there must be one.
type verifier struct {
	cut    *cutter
	beads  beads
	at     fit
	low    int // layers below are searched for beads off the part
	first  int // the first layer of the part
	result *Result

	open     []*sheet // by layer; nil: not begun or done
	judged   []bool   // its outline has been looked along
	spare    []*sheet
	bare     []misfit // outline without a bead, of one layer
	islets   []islet
	trailing int    // beads since the last on the part that nothing is known of
	pending  misfit // a misfit since the last bead on the part: perhaps the file's end
}

// sheet is a layer that is being read.
type sheet struct {
	foot     footprint
	segments []segment
	grid     grid
}

// misfit is the greatest deviation and where it is.
type misfit struct {
	off     float64
	at      r3.Vec // in the file's coordinates
	line    int
	missing bool // an outline without a bead; else a bead off the part
	narrow  bool // where the part is thinner than two beads
}

func (m *misfit) worsen(other misfit) {
	if other.off > m.off {
		*m = other
	}
}

func (v *verifier) run(ctx context.Context, src io.Reader, o *Options) (misfit, error) {
	var worst misfit
	last := 0
	v.open, v.judged = make([]*sheet, len(v.beads.list)), make([]bool, len(v.beads.list))
	_, err := motion.ReadAhead(ctx, src, o.Read, func(ev *motion.Event) error {
		if !ev.Extrudes() {
			return nil
		}
		// A layer is complete once a bead comes from a later line than its
		// last (one line may be many chords).
		if ev.Line > v.beads.list[last].last {
			v.close(last, &worst)
		}
		i, s, known := v.beads.bead(ev)
		v.bead(i, s, known, ev, &worst)
		last = i
		return nil
	})
	v.result.OffPart += v.trailing
	for i := range v.open {
		v.close(i, &worst)
	}
	return worst, err
}

// bead judges one bead.
func (v *verifier) bead(i int, s segment, known bool, ev *motion.Event, worst *misfit) {
	if i < v.first || !ev.Placed() {
		v.result.OffPart++
		return
	}
	sh := v.sheet(i)
	sure := sh.foot.within(r2.Sub(s.a, plan(v.at.d)), r2.Sub(s.b, plan(v.at.d)))
	switch {
	case sure > v.at.inset && (known || i < v.low): // nothing to judge
	case i < v.low:
		if !onPart(&sh.foot, s, v.at.d) {
			v.result.OffPart++
			return
		}
	case !known && !(v.result.FirstBead > 0 && v.smooths(sh, i, s)):
		v.trailing++ // it goes with the beads around it
		return
	case !known:
	default:
		m := v.excess(sh, s, ev)
		if m.off > MaxOutline {
			if v.result.FirstBead > 0 { // else it is still the file's start
				v.pending.worsen(m)
			}
			v.result.OffPart++
			return
		}
		worst.worsen(m)
	}
	worst.worsen(v.pending)
	v.pending = misfit{}
	if v.result.FirstBead == 0 {
		v.result.FirstBead = ev.Line
		v.result.OffPart += v.trailing
	}
	v.trailing = 0
	v.result.LastBead = ev.Line
	if known && (sure < far || v.beads.list[i].spiral) { // no outline looks further, but a spiral's next one may lie nearer
		sh.segments = append(sh.segments, s)
		v.overlap(i, s)
	}
}

// smooths reports a bead of next to no filament that lies on the part at a layer's
// very height, as those do that smooth a top face: it needs no beads around it.
func (v *verifier) smooths(sh *sheet, i int, s segment) bool {
	return !v.beads.list[i].spiral && math.Abs(s.dz) < sameLayer && onPart(&sh.foot, s, v.at.d)
}

// overlap gives a spiral's bead near the border of its slab to the next one
// too, so that a pitch that is a little off leaves no gap between turns.
func (v *verifier) overlap(i int, s segment) {
	l := &v.beads.list[i]
	if !l.spiral || math.Abs(s.dz) < 0.3*l.h {
		return
	}
	k := i + 1
	if s.dz < 0 {
		k = i - 1
	}
	if k >= v.first && k < len(v.beads.list) && v.beads.list[k].spiral {
		sh := v.sheet(k)
		s.dz += l.z - v.beads.list[k].z
		sh.segments = append(sh.segments, s)
	}
}

func (v *verifier) sheet(i int) *sheet {
	if v.open[i] != nil {
		return v.open[i]
	}
	sh := &sheet{}
	if n := len(v.spare); n > 0 {
		sh, v.spare = v.spare[n-1], v.spare[:n-1]
	}
	sh.segments = sh.segments[:0]
	sh.foot.pieces = v.cut.cut(sh.foot.pieces[:0], v.beads.list[i].mid()-v.at.d.Z)
	sh.foot.build()
	v.open[i] = sh
	return sh
}

// beadStep is the distance of the places of a bead that are judged, mm.
const beadStep = 0.7

func steps(s segment) int {
	return min(1+int(math.Sqrt(r2.Norm2(r2.Sub(s.b, s.a)))/beadStep), 200)
}

// excess tells how far a bead lies out of where it may: its middle line is to
// be at least the inset deep.
func (v *verifier) excess(sh *sheet, s segment, ev *motion.Event) misfit {
	m := misfit{line: ev.Line}
	shift := plan(v.at.d)
	extra := heightSlack + math.Abs(s.dz)
	if l := &v.beads.list[v.beads.last]; l.spiral {
		extra += l.h // a turn may be drawn at one height
	}
	n := steps(s)
	for k := 0; k <= n; k++ {
		p := along(s.a, s.b, float64(k)/float64(n))
		off := v.out(&sh.foot, r2.Sub(p, shift), extra)
		if off > m.off {
			off = v.joined(v.beads.last, r2.Sub(p, shift), extra, off)
		}
		if off > m.off {
			m.off, m.at = off, r3.Vec{X: p.X, Y: p.Y, Z: ev.To.Z}
		}
	}
	return m
}

// out tells how far a place of a bead's middle line is out of a section where it
// may be; extra is how uncertain the height is.
func (v *verifier) out(f *footprint, p r2.Vec, extra float64) float64 {
	depth, slope := f.depth(p)
	if math.IsInf(depth, -1) {
		return far
	}
	return v.at.inset - depth - math.Abs(slope)*extra
}

// joined tells the same, less where another section is fitter, of layer i and
// what it joins in a spiral: a turn's first bead comes from the outline below,
// its last may lead to that of the next.
func (v *verifier) joined(i int, p r2.Vec, extra, off float64) float64 {
	list := v.beads.list
	for _, k := range [2]int{i - 1, i + 1} {
		if k < v.first || k >= len(list) || !list[i].spiral && !list[k].spiral || k < i && v.open[k] == nil {
			continue
		}
		off = min(off, v.out(&v.sheet(k).foot, p, extra))
	}
	return off
}

// onPart reports whether most of a bead lies on the section, d moved. A bead
// may stick out by a third of a usual bead's half width: brims lie a whole
// half width outside.
func onPart(f *footprint, s segment, d r3.Vec) bool {
	const stickOut = 0.07
	n := steps(s)
	in := 0
	for k := 0; k <= n; k++ {
		if depth, _ := f.depth(r2.Sub(along(s.a, s.b, float64(k)/float64(n)), plan(d))); depth > -stickOut {
			in++
		}
	}
	return 2*in > n
}

// close judges a layer that is complete: has its outline beads?
func (v *verifier) close(i int, worst *misfit) {
	sh := v.open[i]
	if sh == nil {
		return
	}
	v.open[i] = nil
	sh.grid.build(len(sh.segments), func(i int) (r2.Vec, r2.Vec) { return sh.segments[i].a, sh.segments[i].b }, 0)
	l := &v.beads.list[i]
	extra := heightSlack
	if l.spiral {
		extra += l.h
	}
	allowed := 0.0
	if l.mid()-v.at.d.Z < squeezedHeight {
		allowed = squeezed
	}
	if !v.partial(i) && !v.judged[i] {
		worst.worsen(v.missing(sh, l, allowed, extra))
	}
	v.judged[i] = true
	v.spare = append(v.spare, sh)
}

// partial reports a spiral's first and last slab, which hold less than a turn.
func (v *verifier) partial(i int) bool {
	list := v.beads.list
	return list[i].spiral && (i == 0 || i == len(list)-1 || !list[i-1].spiral || !list[i+1].spiral)
}

// missing looks for outline without a bead. allowed is taken off everywhere,
// extra times the slope.
func (v *verifier) missing(sh *sheet, l *layer, allowed, extra float64) misfit {
	f := &sh.foot
	v.bare = v.bare[:0]
	sample(f.pieces, outlineStep, mostOutline, func(q *piece, t float64) {
		p := along(q.a, q.b, t)
		off := sh.nearest(r2.Add(p, plan(v.at.d))) - v.at.inset - allowed - extra*math.Abs(q.slope)
		narrow := off > 0 && !f.thicker(q, t, twoBeads*v.at.inset)
		if narrow {
			off -= 2 * v.at.inset
		}
		if off > 0 && f.reachable(q, t, v.at.inset) {
			v.bare = append(v.bare, misfit{off: off, at: r3.Vec{X: p.X + v.at.d.X, Y: p.Y + v.at.d.Y, Z: l.z}, line: l.first, missing: true, narrow: narrow})
		}
	})
	slices.SortStableFunc(v.bare, func(a, b misfit) int { return cmp.Compare(b.off, a.off) })
	for i := range v.bare {
		if crowded(v.bare, i) && !v.noteIslet(i) {
			return v.bare[i]
		}
	}
	return misfit{}
}

const (
	// isletReach is how far apart the bare outline of an island may be that a
	// planner leaves out whole, mm: some two beads square. Steep cones end in
	// such slivers at every corner of a part (common practice, no source).
	isletReach = 2.2
	// isletLayers is on how many layers that may happen at one place: more is a
	// feature that is missing.
	isletLayers = 3
	// mostIslets is far more corners than parts have that slicers cut short.
	mostIslets = 200
)

// noteIslet notes that bare place i belongs to an island so small, or to a border
// so narrow, that it may be left out on a few layers, and reports whether it still
// may. A steep shell ends along a level edge of the part in a sliver that grows by
// less than a bead a layer; planners lay its middle or don't.
func (v *verifier) noteIslet(i int) bool {
	at := v.bare[i].at
	for k := range v.bare {
		if v.bare[i].narrow {
			break
		}
		if d := r3.Norm(r3.Sub(v.bare[k].at, at)); d > isletReach && d < 2*isletReach {
			return false
		}
	}
	for k := range v.islets {
		p := &v.islets[k]
		if r2.Norm(r2.Sub(plan(p.at), plan(at))) > 2*isletReach {
			continue
		}
		if p.at.Z != at.Z {
			p.at.Z = at.Z
			p.layers++
		}
		return p.layers <= isletLayers
	}
	if len(v.islets) == mostIslets {
		return false
	}
	v.islets = append(v.islets, islet{at, 1})
	return true
}

// islet is a place where small islands were left out.
type islet struct {
	at     r3.Vec
	layers int
}

// crowded reports that place i isn't alone in being that bare: planners leave
// out islands of a bead or two and cut corners short, so a bare outline counts
// from about 2 mm on.
func crowded(bare []misfit, i int) bool {
	const near, others, alike = 3.0, 2, 0.7
	n := 0
	for k := range bare {
		if bare[k].off < alike*bare[i].off {
			return false
		}
		if k != i && r3.Norm(r3.Sub(bare[k].at, bare[i].at)) < near {
			if n++; n >= others {
				return true
			}
		}
	}
	return false
}

// nearest is the distance from p to the nearest bead's middle line, at most
// far.
func (s *sheet) nearest(p r2.Vec) float64 {
	best := far * far
	for k := 0; float64(k-1)*s.grid.side < math.Sqrt(best); k++ { // ring k begins k-1 cells off
		s.grid.around(p, k, func(i int32) {
			g := &s.segments[i]
			best = math.Min(best, r2.Norm2(r2.Sub(p, foot(p, g.a, g.b))))
		})
		if s.grid.nx == 0 {
			break
		}
	}
	return math.Sqrt(best)
}

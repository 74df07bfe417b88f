package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// gapBeads lays single beads of adapted width along the middle of thin places.
// What is narrower than least stays empty.
func gapBeads(thin Region, least float64, kind Kind, o *Options) ([]Bead, error) {
	sliver := 0.45 * least
	thin, err := polygon.Inset(thin, sliver)
	if err != nil || len(thin) == 0 {
		return nil, err
	}
	if thin, err = polygon.Grow(thin, sliver); err != nil {
		return nil, err
	}
	var out []Bead
	for _, piece := range thin.Components() {
		for _, b := range middleBeads(piece, least, o) {
			b.Kind = kind
			out = append(out, b)
		}
	}
	return out, nil
}

// dot is a short bead that holds what a tiny piece holds, or nothing where the
// piece isn't compact.
func dot(piece Region, least float64) []Bead {
	var mid, far r2.Vec
	for _, p := range piece[0] {
		mid = r2.Add(mid, r2.Scale(1/float64(len(piece[0])), p))
	}
	for _, p := range piece[0] {
		if v := r2.Sub(p, mid); r2.Norm2(v) > r2.Norm2(far) {
			far = v
		}
	}
	length := r2.Norm(far)
	width := piece.Area() / length
	if width < least || width > 4*length || !piece.Contains(mid) {
		return nil
	}
	half := r2.Scale(0.5, far)
	return []Bead{{Kind: Wall, Path: []r2.Vec{r2.Sub(mid, half), r2.Add(mid, half)}, Width: []float64{width, width}}}
}

// gapTolerance is how far the middle line of a thin place may be simplified,
// mm, and how far its width: a hundredth of a bead does no harm.
const gapTolerance = 0.005

// middleBeads traces the middle of a thin piece: it walks along each contour
// and takes the discs' centres, unless the other side has been walked already.
func middleBeads(piece Region, least float64, o *Options) []Bead {
	coarse := make(Region, 0, len(piece))
	for _, c := range piece {
		if s := polygon.Simplify(c, gapTolerance); s != nil {
			coarse = append(coarse, s)
		}
	}
	step := o.Pitch / 2
	s := sampleOutlines(coarse, step)
	most := o.LineWidth
	s.grow(1.2 * most)
	t := &tracer{outlineSamples: s, least: least, most: 2 * most, jump: 2 * step,
		served: make([]bool, len(s.list)), walked: make([]bool, len(s.list))}
	for i := range s.start[1:] {
		t.walk(s.start[i], s.start[i+1])
	}
	var out []Bead
	for _, b := range t.beads {
		if !b.Closed {
			b = trimmed(trimmed(b))
		}
		if b.Closed || polygon.PathLength(b.Path, false) >= 0.6*o.Pitch {
			out = append(out, thinned(b))
		}
	}
	return out
}

type tracer struct {
	*outlineSamples
	least, most    float64 // widths
	jump           float64 // middles farther apart belong to different beads
	served, walked []bool  // samples whose middle is taken, from the other side or this one
	beads          []Bead
}

// fits reports whether sample i has a disc that a bead may fill.
func (t *tracer) fits(i int) bool {
	v := &t.list[i]
	return v.partner >= 0 && 2*v.radius >= t.least && 2*v.radius <= t.most
}

// walk goes once round the contour with samples lo to hi-1, beginning at one
// that has no bead, if there is one.
func (t *tracer) walk(lo, hi int) {
	n := hi - lo
	begin := 0
	for begin < n && t.fits(lo+begin) && !t.served[lo+begin] {
		begin++
	}
	whole := begin == n
	var b Bead
	last := -1
	for j := range n {
		i := lo + (begin+j)%n
		if !t.fits(i) || t.served[i] || t.walked[t.list[i].partner] {
			whole = false
			continue
		}
		mid := t.list[i].middle()
		if last >= 0 && r2.Norm(r2.Sub(mid, b.Path[len(b.Path)-1])) > t.jump {
			t.finish(b, false)
			b, last, whole = Bead{}, -1, false
		}
		b.Path = append(b.Path, mid)
		b.Width = append(b.Width, 2*t.list[i].radius)
		t.walked[i] = true
		t.serve(last, i)
		last = i
	}
	t.finish(b, whole && len(b.Path) > 2 && r2.Norm(r2.Sub(b.Path[0], b.Path[len(b.Path)-1])) <= t.jump)
}

func (t *tracer) finish(b Bead, closed bool) {
	if len(b.Path) >= 2 {
		b.Closed = closed
		t.beads = append(t.beads, b)
	}
}

// serve marks the samples across, from the partner of the last walked sample
// to that of sample i.
func (t *tracer) serve(last, i int) {
	to := t.list[i].partner
	t.served[to] = true
	if last < 0 {
		return
	}
	from := t.list[last].partner
	if from > to {
		from, to = to, from
	}
	// Only a short stretch lies across; the long way round, or a jump to another
	// contour, isn't.
	if r2.Norm(r2.Sub(t.list[from].p, t.list[to].p)) <= 3*t.jump && to-from <= 64 {
		for j := from; j <= to; j++ {
			t.served[j] = true
		}
	}
}

// steepEnd is how fast a bead's width may fall toward its end, per length: the
// middle line of a thin place runs on into the corners of its end, and there
// twice the sine of half the corner's angle is the fall.
const steepEnd = 0.7

// trimmed cuts what runs into a corner off the bead's last end and returns the
// bead turned round, so that a second call trims the other end.
func trimmed(b Bead) Bead {
	n := len(b.Path)
	for n > 1 && b.Width[n-2]-b.Width[n-1] > steepEnd*r2.Norm(r2.Sub(b.Path[n-1], b.Path[n-2])) {
		n--
	}
	b.Path, b.Width = b.Path[:n], b.Width[:n]
	return reversed(b)
}

// thinned drops points of a bead that straight lines and steady widths replace.
func thinned(b Bead) Bead {
	n := len(b.Path)
	keep := make([]bool, n)
	keep[0], keep[n-1] = true, true
	stack := [][2]int{{0, n - 1}}
	for len(stack) > 0 {
		lo, hi := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		at, worst := -1, gapTolerance
		for i := lo + 1; i < hi; i++ {
			share := float64(i-lo) / float64(hi-lo)
			wide := math.Abs(b.Width[i] - b.Width[lo] - share*(b.Width[hi]-b.Width[lo]))
			if d := math.Max(wide/2, polygon.SegmentDistance(b.Path[i], b.Path[lo], b.Path[hi])); d > worst {
				at, worst = i, d
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{lo, at}, [2]int{at, hi})
		}
	}
	out := Bead{Closed: b.Closed, Kind: b.Kind}
	for i := range b.Path {
		if keep[i] {
			out.Path = append(out.Path, b.Path[i])
			out.Width = append(out.Width, b.Width[i])
		}
	}
	return out
}

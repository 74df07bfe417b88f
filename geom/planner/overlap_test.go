package planner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// strand is a short piece of a bead.
type strand struct {
	bead  int
	a, b  r2.Vec
	width float64 // in its middle
	begin float64 // width at a
}

func strands(l *Layer, o *Options, step float64) []strand {
	var out []strand
	for bi := range l.Beads {
		b := &l.Beads[bi]
		for i := 1; i < b.points(); i++ {
			w0, w1 := o.Pitch, o.Pitch
			if b.Width != nil {
				w0, w1 = b.Width[(i-1)%len(b.Width)], b.Width[i%len(b.Width)]
			}
			p, d := b.point(i-1), r2.Sub(b.point(i), b.point(i-1))
			n := int(math.Ceil(r2.Norm(d) / step))
			for j := range n {
				t0, t1 := float64(j)/float64(n), float64(j+1)/float64(n)
				out = append(out, strand{bi, r2.Add(p, r2.Scale(t0, d)), r2.Add(p, r2.Scale(t1, d)), w0 + (t0+t1)/2*(w1-w0), w0 + t0*(w1-w0)})
			}
		}
	}
	return out
}

// crossedShare is the share of all bead length that runs through another bead
// by more than 20 % of the narrower's width.
func crossedShare(l *Layer, o *Options) (share float64, worst r2.Vec) {
	const step, cell = 0.1, 1.0
	list := strands(l, o, step)
	grid := map[[2]int][]int{}
	key := func(p r2.Vec) [2]int { return [2]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell))} }
	for i := range list {
		k := key(list[i].a)
		grid[k] = append(grid[k], i)
	}
	bad, total, deepest := 0.0, 0.0, 0.0
	for i := range list {
		s := &list[i]
		mid := r2.Scale(0.5, r2.Add(s.a, s.b))
		length := r2.Norm(r2.Sub(s.b, s.a))
		total += length
		depth := 0.0
		k := key(mid)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, j := range grid[[2]int{k[0] + dx, k[1] + dy}] {
					t := &list[j]
					if t.bead != s.bead {
						over := (s.width+t.width)/2 - segmentDistance(mid, t.a, t.b)
						depth = math.Max(depth, over/math.Min(s.width, t.width))
					}
				}
			}
		}
		if depth > 0.22 { // 20 % and the chords' sag
			bad += length
		}
		if depth > deepest {
			deepest, worst = depth, mid
		}
	}
	return bad / total, worst
}

// eachPlan plans every shape in both patterns, 12 layers of 15 % fill with caps.
func eachPlan(t *testing.T, check func(t *testing.T, m *Motion, s shape)) {
	for _, pattern := range []string{PatternRings, PatternLines} {
		for _, s := range shapes() {
			t.Run(pattern+"/"+s.name, func(t *testing.T) {
				t.Parallel()
				o := testOptions()
				o.Pattern = pattern
				check(t, planPrism(t, s.region, 12, o), s)
			})
		}
	}
}

// someLayers are a cap in each direction and a sparse layer of eachPlan.
var someLayers = []int{0, 1, 6}

func TestBeadsKeepApart(t *testing.T) {
	eachPlan(t, func(t *testing.T, m *Motion, s shape) {
		for _, li := range someLayers {
			if share, worst := crossedShare(&m.Layers[li], &m.Options); share > 0.01 {
				t.Errorf("layer %d: %.2f %% of the length runs through another bead, worst at %.2f", li, 100*share, r2.Sub(worst, centre))
			}
		}
	})
}

func TestSolidLayersAreCovered(t *testing.T) {
	const cell = 0.11 // no divisor of any pitch
	eachPlan(t, func(t *testing.T, m *Motion, s shape) {
		for _, li := range someLayers[:2] {
			l := &m.Layers[li]
			lo, hi := extent(l.Region)
			lo = r2.Add(lo, r2.Vec{X: cell / 2, Y: cell / 2}) // not on an edge
			covered := map[[2]int]bool{}
			skin := m.Options.LineWidth - m.Options.Pitch // beads bulge past their pitch
			for _, s := range strands(l, &m.Options, 0.2) {
				r := (s.width + skin) / 2
				a, b := r2.Sub(s.a, lo), r2.Sub(s.b, lo)
				for i := int((math.Min(a.X, b.X) - r) / cell); float64(i) <= (math.Max(a.X, b.X)+r)/cell; i++ {
					for j := int((math.Min(a.Y, b.Y) - r) / cell); float64(j) <= (math.Max(a.Y, b.Y)+r)/cell; j++ {
						p := r2.Vec{X: float64(i) * cell, Y: float64(j) * cell}
						if segmentDistance(p, a, b) <= r {
							covered[[2]int{i, j}] = true
						}
					}
				}
			}
			inside, missed := 0, 0
			for i := 0; float64(i)*cell < hi.X-lo.X; i++ {
				for j := 0; float64(j)*cell < hi.Y-lo.Y; j++ {
					if !l.Region.Contains(r2.Vec{X: lo.X + float64(i)*cell, Y: lo.Y + float64(j)*cell}) {
						continue
					}
					inside++
					if !covered[[2]int{i, j}] {
						missed++
					}
				}
			}
			if share := float64(missed) / float64(inside); share > 0.03 {
				t.Errorf("layer %d: %.2f %% of a solid layer is bare", li, 100*share)
			}
		}
	})
}

func extent(r Region) (lo, hi r2.Vec) {
	lo, hi = r[0][0], r[0][0]
	for _, c := range r {
		for _, p := range c {
			lo = r2.Vec{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
			hi = r2.Vec{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

func TestBeadsStayInside(t *testing.T) {
	eachPlan(t, func(t *testing.T, m *Motion, s shape) {
		const sag = 0.01 // contours, arcs and rounding
		for _, li := range someLayers {
			l := &m.Layers[li]
			for _, s := range strands(l, &m.Options, 0.5) {
				if d := l.Region.distance(s.a); !l.Region.Contains(s.a) || d < s.begin/2-sag {
					t.Errorf("layer %d, %v: a bead of %.3f mm runs %.3f mm from the outline at %.2f", li, l.Beads[s.bead].Kind, s.begin, d, r2.Sub(s.a, centre))
				}
			}
		}
	})
}

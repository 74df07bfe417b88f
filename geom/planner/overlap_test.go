package planner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
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

// strandGrid finds strands near a point quickly.
type strandGrid struct {
	lo    r2.Vec
	nx    int
	cells [][]int32
}

const gridCell = 0.8 // mm: wider than any bead, so that neighbours lie in neighbouring cells

func newStrandGrid(list []strand, lo, hi r2.Vec) *strandGrid {
	g := &strandGrid{lo: r2.Sub(lo, r2.Vec{X: 2 * gridCell, Y: 2 * gridCell})}
	g.nx = int((hi.X-g.lo.X)/gridCell) + 4
	g.cells = make([][]int32, g.nx*(int((hi.Y-g.lo.Y)/gridCell)+4))
	for i := range list {
		c := g.cell(r2.Scale(0.5, r2.Add(list[i].a, list[i].b)))
		g.cells[c] = append(g.cells[c], int32(i))
	}
	return g
}

func (g *strandGrid) cell(p r2.Vec) int {
	return int((p.Y-g.lo.Y)/gridCell)*g.nx + int((p.X-g.lo.X)/gridCell)
}

// near calls f for every strand in p's cell and the eight around it.
func (g *strandGrid) near(p r2.Vec, f func(i int32)) {
	c := g.cell(p)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			for _, i := range g.cells[c+dy*g.nx+dx] {
				f(i)
			}
		}
	}
}

// crossedShare is the share of all bead length that runs through another bead
// by more than 20 % of the narrower's width.
func crossedShare(list []strand, g *strandGrid) (share float64, worst r2.Vec) {
	bad, total, deepest := 0.0, 0.0, 0.0
	for i := range list {
		s := &list[i]
		mid := r2.Scale(0.5, r2.Add(s.a, s.b))
		length := r2.Norm(r2.Sub(s.b, s.a))
		total += length
		depth := 0.0
		g.near(mid, func(j int32) {
			t := &list[j]
			if t.bead != s.bead {
				over := (s.width+t.width)/2 - polygon.SegmentDistance(mid, t.a, t.b)
				depth = math.Max(depth, over/math.Min(s.width, t.width))
			}
		})
		if depth > 0.22 { // 20 % and the chords' sag
			bad += length
		}
		if depth > deepest {
			deepest, worst = depth, mid
		}
	}
	return bad / total, worst
}

// bareShare is the share of the region that no bead covers; beads bulge by skin
// past their pitch width.
func bareShare(r Region, list []strand, g *strandGrid, skin float64) float64 {
	const cell = 0.31 // no divisor of any pitch
	lo, hi := extent(r)
	inside, bare := 0, 0
	for y := lo.Y + cell/2; y < hi.Y; y += cell {
		for x := lo.X + cell/2; x < hi.X; x += cell {
			p := r2.Vec{X: x, Y: y}
			if !r.Contains(p) {
				continue
			}
			inside++
			covered := false
			g.near(p, func(i int32) {
				s := &list[i]
				covered = covered || polygon.SegmentDistance(p, s.a, s.b) <= (s.width+skin)/2
			})
			if !covered {
				bare++
			}
		}
	}
	return float64(bare) / float64(inside)
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

// outside lists strands that begin nearer to the outline than half their width;
// of long beads it tries some.
func outside(r Region, list []strand) (out []strand) {
	const sag = 0.01 // contours, arcs and rounding
	for i, s := range list {
		if i > 0 && i+1 < len(list) && list[i-1].bead == s.bead && list[i+1].bead == s.bead && i%5 > 0 {
			continue
		}
		if !r.Contains(s.a) || r.Distance(s.a) < s.begin/2-sag {
			out = append(out, s)
		}
	}
	return out
}

func TestBeadsKeepTheirPlaces(t *testing.T) {
	for _, pattern := range []string{PatternRings, PatternLines, PatternSpokes, PatternGrid} {
		layers := []int{0, 1, 3} // a cap, a sparse layer, a cap in the other direction
		if pattern == PatternSpokes || pattern == PatternGrid {
			layers = layers[1:2] // their caps are those of rings and lines
		}
		for _, s := range shapes() {
			t.Run(pattern+"/"+s.name, func(t *testing.T) {
				t.Parallel()
				o := testOptions()
				o.Pattern, o.Caps = pattern, 1
				m := planPrism(t, s.region, 4, o)
				for _, li := range layers {
					checkPlaces(t, m, li)
				}
			})
		}
	}
}

func checkPlaces(t *testing.T, m *Motion, li int) {
	l := &m.Layers[li]
	list := strands(l, &m.Options, 0.3)
	lo, hi := extent(l.Region)
	g := newStrandGrid(list, lo, hi)
	if share, worst := crossedShare(list, g); share > 0.012 {
		t.Errorf("layer %d: %.2f %% of the length runs through another bead, worst at %.2f", li, 100*share, r2.Sub(worst, centre))
	}
	for _, s := range outside(l.Region, list) {
		t.Errorf("layer %d: a %v of %.3f mm runs %.3f mm from the outline at %.2f", li, l.Beads[s.bead].Kind, s.begin, l.Region.Distance(s.a), r2.Sub(s.a, centre))
	}
	if kinds(l)[Fill] > 0 {
		return
	}
	if share := bareShare(l.Region, list, g, m.Options.LineWidth-m.Options.Pitch); share > 0.03 {
		t.Errorf("layer %d: %.2f %% of a solid layer is bare", li, 100*share)
	}
}

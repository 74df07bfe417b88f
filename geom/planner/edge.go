package planner

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// Where the edge of a solid area runs nearly along the curves, a wedge-shaped
// gap remains between the edge and the last curve, up to a pitch wide and many
// long. An edge bead of growing or falling width fills it. Where the edge is
// steep, links (chain.go) make up for the ends of the strokes.
const (
	steepArc     = 2.0  // pitches: shorter arcs between two curves are steep
	alongEdge    = 0.7  // least cosine between edge and curve: 45 degrees
	leastEdge    = 0.25 // narrowest edge bead, in pitches
	edgeStep     = 0.5  // points of an edge bead lie at most so many pitches apart
	leastEdgeRun = 1.0  // shortest edge bead, in pitches
)

// edgeRun is an edge bead along an arc of a contour between crossings a and b.
type edgeRun struct {
	path     []r2.Vec
	width    []float64
	atA, atB bool // reaches the crossing with full width: continues its stroke
}

// edgeRuns finds the edge beads along the contour from crossing a to the next
// crossing b.
func (c *clipped) edgeRuns(a, b int) []edgeRun {
	ca, cb := &c.cross[a], &c.cross[b]
	arc := append([]r2.Vec{ca.at}, between(c.region[ca.contour], ca.pos, cb.pos)...)
	arc = append(arc, cb.at)
	if polygon.PathLength(arc, false) < steepArc*c.family.spacing {
		return nil
	}
	base := float64(min(ca.k, cb.k))
	if ca.k == cb.k && !ca.enters { // enters: the offset rises past a
		base--
	}
	arc = subdivided(arc, edgeStep*c.family.spacing)
	var runs []edgeRun
	var run edgeRun
	flush := func() {
		if len(run.path) > 1 && polygon.PathLength(run.path, false) >= leastEdgeRun*c.family.spacing {
			runs = append(runs, run)
		}
		run = edgeRun{}
	}
	for i := 1; i < len(arc); i++ {
		side, ok := c.family.solidSide(arc[i-1], arc[i])
		if !ok {
			flush()
			continue
		}
		for j := i - 1; j <= i; j++ {
			if j < i && len(run.path) > 0 {
				continue // it is the run's last point already
			}
			p, share := c.family.edgePoint(arc[j], base, side)
			if share < leastEdge {
				flush()
				continue
			}
			const full = 0.8 // continues a stroke of width 1 without a step worth a stop
			run.atA = run.atA || j == 0 && share > full
			run.atB = j == len(arc)-1 && share > full
			run.path = append(run.path, p)
			run.width = append(run.width, share*c.family.spacing)
		}
	}
	flush()
	return runs
}

// solidSide tells whether the solid left of the edge piece p-q lies toward
// growing (+1) or falling (-1) offset; not ok where the piece is steep.
func (f *family) solidSide(p, q r2.Vec) (side float64, ok bool) {
	d := r2.Sub(q, p)
	l := r2.Norm(d)
	if l == 0 {
		return 0, false
	}
	across := f.across(r2.Scale(0.5, r2.Add(p, q)))
	dot := r2.Dot(across, r2.Vec{X: -d.Y / l, Y: d.X / l})
	return math.Copysign(1, dot), math.Abs(dot) >= alongEdge
}

// across is the unit vector of growing offset at p.
func (f *family) across(p r2.Vec) r2.Vec {
	if f.rings {
		v := r2.Sub(p, f.axis)
		if l := r2.Norm(v); l > 0 {
			return r2.Scale(1/l, v)
		}
		return r2.Vec{X: 1}
	}
	return r2.Vec{X: f.along.Y, Y: -f.along.X}
}

// edgePoint gives the middle and the share of a pitch of the gap between the
// edge at p and the next curve on the solid side. p lies between curves base
// and base + 1. The solid area reaches half a pitch past the edge of centre
// lines, the curve's bead half a pitch toward it, so the gap is as wide as p
// is far from the curve.
func (f *family) edgePoint(p r2.Vec, base, side float64) (r2.Vec, float64) {
	u := (f.offset(p)-f.first)/f.spacing - base
	share := u
	if side > 0 {
		share = 1 - u
	}
	share = math.Max(0, math.Min(1, share))
	return r2.Sub(p, r2.Scale(side*(1-share)/2*f.spacing, f.across(p))), share
}

// subdivided adds points so that none lie farther apart than step.
func subdivided(path []r2.Vec, step float64) []r2.Vec {
	out := []r2.Vec{path[0]}
	for i := 1; i < len(path); i++ {
		d := r2.Sub(path[i], path[i-1])
		n := int(math.Ceil(r2.Norm(d) / step))
		for j := 1; j < n; j++ {
			out = append(out, r2.Add(path[i-1], r2.Scale(float64(j)/float64(n), d)))
		}
		out = append(out, path[i])
	}
	return out
}

// edges lists the edge beads of all contours: tails continue a stroke past a
// crossing that no link uses, loose ones stand alone.
func (c *clipped) edges(rounds [][]int, links map[int]link) (tails map[int]stretch, loose []stretch) {
	tails = make(map[int]stretch)
	for _, round := range rounds {
		for x, a := range round {
			b := round[polygon.Next(x, len(round))]
			if _, linked := links[a]; linked && links[a].to == b {
				continue
			}
			for _, run := range c.edgeRuns(a, b) {
				s := stretch{path: run.path, width: run.width}
				if c.free(a, links, tails) && run.atA {
					tails[a] = s
				} else if c.free(b, links, tails) && run.atB {
					slices.Reverse(s.path)
					slices.Reverse(s.width)
					tails[b] = s
				} else if s = c.apart(s, run.atA, run.atB); s.path != nil {
					loose = append(loose, s)
				}
			}
		}
	}
	return tails, loose
}

// apart shortens a loose edge bead at the ends where it would begin on another
// bead, or drops it where little remains.
func (c *clipped) apart(s stretch, first, last bool) stretch {
	lo, hi := 0, len(s.path)
	for first && lo < hi && r2.Norm(r2.Sub(s.path[lo], s.path[0])) < c.family.spacing {
		lo++
	}
	for last && lo < hi && r2.Norm(r2.Sub(s.path[hi-1], s.path[len(s.path)-1])) < c.family.spacing {
		hi--
	}
	if hi-lo < 2 || polygon.PathLength(s.path[lo:hi], false) < leastEdgeRun*c.family.spacing {
		return stretch{}
	}
	return stretch{path: s.path[lo:hi], width: s.width[lo:hi]}
}

func (c *clipped) free(crossing int, links map[int]link, tails map[int]stretch) bool {
	_, linked := links[crossing]
	_, tailed := tails[crossing]
	return !linked && !tailed
}

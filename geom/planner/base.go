package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/placement"
	"conewright/geom/polygon"
)

// A shell that slopes ends on the bed, or on what the part was cut from. That end
// is no wall: nothing has to keep inside it. The bead along it should lie as low
// as the nozzle's rim and a whole bead allow, or a void stays under it.

const (
	// baseSlack is how high over the bed or the base an outline may stand and still
	// be its edge, mm: facets of a warped mesh stray by the tolerance, 0.02 mm by
	// default, and contours by polygon.ContourTolerance.
	baseSlack = 0.03
	// leastCorner is the least sine of a corner's turn at which its edges are moved
	// along each other; flatter corners move along the mean of their normals.
	leastCorner = 0.2
)

// reachBase returns the region r of layer i with its edges on the base moved
// outward, so that walls that keep half a line inside it come as low as they may.
func (o *Options) reachBase(i int, r Region) (Region, error) {
	if o.Lift == nil || o.Height == nil {
		return r, nil
	}
	z := o.middle(i)
	out, moved := make(Region, len(r)), false
	for k, c := range r {
		if out[k] = o.contourToBase(c, z); out[k] != nil {
			moved = true
		} else {
			out[k] = c
		}
	}
	if !moved {
		return r, nil
	}
	return polygon.Union(out)
}

// contourToBase returns the contour at the height z with its edges on the base
// moved outward, nil where it has none.
func (o *Options) contourToBase(c []r2.Vec, z float64) []r2.Vec {
	moves, any := make([]float64, len(c)), false
	normals := make([]r2.Vec, len(c))
	for k, a := range c {
		d := r2.Sub(c[polygon.Next(k, len(c))], a)
		normals[k] = r2.Unit(r2.Vec{X: d.Y, Y: -d.X})
		moves[k] = o.baseMove(r2.Add(a, r2.Scale(0.5, d)), normals[k], z)
		any = any || moves[k] > 0
	}
	if !any {
		return nil
	}
	out := make([]r2.Vec, len(c))
	for k, a := range c {
		before := (k + len(c) - 1) % len(c)
		out[k] = r2.Add(a, cornerMove(normals[before], normals[k], moves[before], moves[k]))
	}
	return out
}

// baseMove returns how far the outline at p, whose outward normal is given, may
// move outward: 0 where it isn't the edge of the base.
func (o *Options) baseMove(p, outward r2.Vec, z float64) float64 {
	edge := o.Height(p, z)
	if math.Abs(edge) > baseSlack {
		return 0
	}
	half := o.LineWidth / 2
	middle := r2.Sub(p, r2.Scale(half, outward))
	spare := o.Height(middle, z) - o.leastMiddle(middle)
	if rise := o.Height(middle, z) - edge; spare > 0 && rise > 0 {
		return min(half, half*spare/rise)
	}
	return 0
}

// leastMiddle returns how high over the bed the middle of a bead at p must lie,
// mm, so that its tip isn't raised and it keeps all of its filament (CONTRACT,
// corrected.gcode).
func (o *Options) leastMiddle(p r2.Vec) float64 {
	sin, cos := math.Sincos(o.Tilt)
	slope := r2.Norm(o.slope(p))
	tip := placement.Offset(r2.Vec{X: slope}, o.LayerHeight, r3.Vec{X: sin, Z: cos})
	return max(o.LayerHeight/2, o.Rim*sin-tip.Z)
}

// cornerMove returns the way of a corner whose edges, of the given normals, move
// outward by a and b.
func cornerMove(n, m r2.Vec, a, b float64) r2.Vec {
	if turn := r2.Cross(n, m); math.Abs(turn) >= leastCorner {
		// v . n = a, v . m = b
		return r2.Scale(1/turn, r2.Vec{X: a*m.Y - b*n.Y, Y: b*n.X - a*m.X})
	}
	mean := r2.Add(n, m)
	return r2.Scale((a+b)/max(1, r2.Norm2(mean)), mean)
}

const (
	// baseWider is by how much the beads along the base are wider on a shell of 45
	// degrees: their lower edges are round and slant, and what is left between them
	// and the bed is filled so (found by laying beads: the lowest 0.1 mm is then full
	// to 0.85 and more, not 0.80).
	baseWider = 0.1
	// baseFade is the rise, mm, over which a bead that leaves the base loses that.
	baseFade = 0.05
)

// widenOnBase makes the bead of the layer at the height z wider where it lies as
// low on the base as it may.
func (o *Options) widenOnBase(b *Bead, z float64) {
	if o.Lift == nil || o.Height == nil {
		return
	}
	points := b.points()
	wider := make([]float64, points)
	any := false
	for k := range points {
		wider[k] = o.wider(b.point(k), z)
		any = any || wider[k] > 1
	}
	if !any {
		return
	}
	var out Bead
	for k := range points {
		if k > 0 && (wider[k] > 1) != (wider[k-1] > 1) {
			out.addPoint(b, k, o.leavesBase(b.point(k-1), b.point(k), z), 1, o)
		}
		if k < len(b.Path) { // not the return of a closed bead
			out.addPoint(b, k, 1, wider[k], o)
		}
	}
	b.Path, b.Width = out.Path, out.Width
}

// wider returns how many times its width a bead at p is to have: the flatter the
// shell, the less.
func (o *Options) wider(p r2.Vec, z float64) float64 {
	over := (o.Height(p, z) - o.leastMiddle(p)) / baseFade
	if over >= 1 {
		return 1
	}
	steep := r2.Norm2(o.slope(p))
	return 1 + baseWider*min(1, 2*steep/(1+steep))*min(1, 1-over)
}

// leavesBase returns the share of the way from a to b, one of which lies over the
// base, at which the bead gets its usual width.
func (o *Options) leavesBase(a, b r2.Vec, z float64) float64 {
	lo, hi := 0.0, 1.0
	low := o.wider(a, z) > 1
	for hi-lo > 1e-3 {
		mid := (lo + hi) / 2
		if o.wider(r2.Add(a, r2.Scale(mid, r2.Sub(b, a))), z) > 1 == low {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// addPoint appends the place at a share of the way from point k-1 to point k of
// another bead, times as wide as that is there.
func (b *Bead) addPoint(from *Bead, k int, share, times float64, o *Options) {
	p, width := from.point(k), o.Pitch
	if from.Width != nil {
		width = from.Width[k%len(from.Width)]
	}
	if share < 1 {
		before := from.point(k - 1)
		p = r2.Add(before, r2.Scale(share, r2.Sub(p, before)))
		if from.Width != nil {
			width = from.Width[k-1] + share*(width-from.Width[k-1])
		}
	}
	b.Path, b.Width = append(b.Path, p), append(b.Width, times*width)
}

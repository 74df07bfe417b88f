package deposition

import (
	"math"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// The contract's words on what a bead rests on.
const (
	leastUnder = 0.35 // shell thicknesses below
	mostUnder  = 2.0
	sideways   = 0.6 // line widths
)

// besideWidths is how far off, in line widths, a neighbour in the same shell
// still holds a bead by its side: a full fill lies 0.9 apart.
const besideWidths = 1.2

// ownPath is how much of the tip's own way is left out of what it meets: what
// flows from the nozzle right now isn't ploughed.
const ownPath = 1.5

// hold says what holds a piece of a bead.
type hold int

const (
	inAir  hold = iota // nothing
	beside             // only a neighbour in the same shell
	under              // the bed, the base or a bead
)

// holds finds what holds a piece whose middle and shell normal are given.
func (d *deposit) holds(m mark, zone int) hold {
	t, w := d.thickness(m.normal, zone), d.log.Job.Bead
	if reachesPlane(m.middle, m.normal, r3.Vec{}, r3.Vec{Z: 1}, t, w) {
		return under
	}
	if d.onBase(m, zone, t, w) {
		return under
	}
	best := inAir
	reach := math.Max(math.Hypot(mostUnder*t, sideways*w), besideWidths*w)
	d.laid.near(m.middle, reach, func(k *mark) bool {
		if m.path-k.path < ownPath {
			return false
		}
		apart := k.apart(m.middle)
		below := r3.Dot(apart, m.normal)
		side := math.Sqrt(math.Max(0, r3.Norm2(apart)-below*below))
		switch {
		case below >= leastUnder*t && below <= mostUnder*t && side <= sideways*w:
			best = under
			return true
		case math.Abs(below) < leastUnder*t && side <= besideWidths*w:
			best = beside
		}
		return false
	})
	return best
}

// thickness is that of a zone's shell where its normal is n.
func (d *deposit) thickness(n r3.Vec, zone int) float64 {
	return *d.zones[zone].LayerHeight * n.Z
}

// reachesPlane reports that a plane's solid side lies within reach under a bead.
func reachesPlane(middle, n, point, up r3.Vec, t, w float64) bool {
	cos := r3.Dot(n, up)
	sin := math.Sqrt(math.Max(0, 1-cos*cos))
	return r3.Dot(r3.Sub(middle, point), up)-mostUnder*t*cos-sideways*w*sin <= 0
}

// baseSlack is how near to the cut's plane something of an earlier zone must
// lie: else the plane has no cap there.
const baseSlack = 1.0

// onBase reports that a bead rests on the cap of a zone that was printed before.
func (d *deposit) onBase(m mark, zone int, t, w float64) bool {
	for _, c := range d.cuts[zone] {
		point, up := toVec(c.Point), r3.Unit(toVec(c.Normal))
		high := r3.Dot(r3.Sub(m.middle, point), up)
		if high < -t || !reachesPlane(m.middle, m.normal, point, up, t, w) {
			continue
		}
		foot := r3.Sub(m.middle, r3.Scale(high, up))
		found := false
		d.laid.near(foot, baseSlack, func(k *mark) bool {
			found = int(k.zone) < zone && r3.Norm(r3.Sub(k.middle, foot)) <= baseSlack
			return found
		})
		if found {
			return true
		}
	}
	return false
}

func toVec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

// dig is how deep, along the nozzle's axis, the flat rim at a pose goes below
// the tops of beads laid before; 0 where it doesn't.
func (d *deposit) dig(p reading.Pose, path float64) float64 {
	deepest := 0.0
	reach := math.Hypot(d.rim+d.log.Job.Bead, d.log.Job.Bead)
	d.laid.near(p.Tip, reach, func(k *mark) bool {
		if path-k.path < ownPath || r3.Norm2(r3.Sub(k.middle, p.Tip)) > reach*reach {
			return false
		}
		half := d.thickness(k.normal, int(k.zone)) / 2
		top := r3.Sub(r3.Add(k.middle, r3.Scale(half, k.normal)), p.Tip)
		deepest = math.Max(deepest, highest(top, k.side, math.Max(0, k.width/2-half), p.Back, d.rim))
		return false
	})
	return deepest
}

// highest is how far along back the line top + u side, |u| <= flat, rises within
// rim of the axis; 0 where it doesn't come so near.
func highest(top, side r3.Vec, flat float64, back r3.Vec, rim float64) float64 {
	a, b := r3.Dot(top, back), r3.Dot(side, back)
	if a+math.Abs(b)*flat <= 0 {
		return 0
	}
	// Across the axis: |p + u q|^2 <= rim^2.
	p, q := r3.Sub(top, r3.Scale(a, back)), r3.Sub(side, r3.Scale(b, back))
	qq, pq, rest := r3.Norm2(q), r3.Dot(p, q), r3.Norm2(p)-rim*rim
	low, high := -flat, flat
	if qq < 1e-12 {
		if rest > 0 {
			return 0
		}
	} else {
		root := pq*pq - qq*rest
		if root < 0 {
			return 0
		}
		root = math.Sqrt(root)
		low, high = math.Max(low, (-pq-root)/qq), math.Min(high, (-pq+root)/qq)
		if low > high {
			return 0
		}
	}
	return math.Max(0, math.Max(a+b*low, a+b*high))
}

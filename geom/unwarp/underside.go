package unwarp

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// underside is how low the head reaches over each place in plan, seen from the
// tip: x toward the lean, y to its left. It is a bound: each cell holds the
// least height within the cell and spread round it.
type underside struct {
	n     int // cells from the middle to an edge
	z     []float64
	least float64 // of all
}

const (
	undersideCell = 0.5
	// undersideSpread covers a peak's cell (0.71 mm to its corners), a bead's
	// half width and the table's own cells.
	undersideSpread = 1.25
)

// newUnderside samples the profile and boxes of a head that leans by so much
// (machine.Pose.Lean, radians).
func newUnderside(card *machine.Card, lean float64) *underside {
	axis := card.Axis(machine.Pose{Lean: lean})
	side := r3.Vec{X: axis.Z, Z: -axis.X}
	reach := 0.0
	h := card.HeadSeen()
	for i := range h.Boxes {
		h.Boxes[i] = h.Boxes[i].Leaning(lean)
	}
	for _, p := range h.Profile {
		reach = math.Max(reach, p[0]*axis.X+p[1])
	}
	for _, b := range h.Boxes {
		reach = math.Max(reach, math.Max(math.Hypot(b.Min[0], b.Min[1]), math.Hypot(b.Max[0], b.Max[1])))
		reach = math.Max(reach, math.Max(math.Hypot(b.Min[0], b.Max[1]), math.Hypot(b.Max[0], b.Min[1])))
	}
	u := &underside{n: int(math.Min(reach+undersideSpread, 400)/undersideCell) + 2}
	u.z = make([]float64, (2*u.n+1)*(2*u.n+1))
	for i := range u.z {
		u.z[i] = math.Inf(1)
	}
	for i := 1; i < len(h.Profile); i++ {
		u.cone(h.Profile[i-1], h.Profile[i], axis, side)
	}
	for _, b := range h.Boxes {
		for x := b.Min[0]; x < b.Max[0]+undersideCell; x += undersideCell {
			for y := b.Min[1]; y < b.Max[1]+undersideCell; y += undersideCell {
				u.lower(math.Min(x, b.Max[0]), math.Min(y, b.Max[1]), b.Min[2])
			}
		}
	}
	u.spread()
	return u
}

// cone lowers the table to a truncated cone's surface.
func (u *underside) cone(lo, hi [2]float64, axis, side r3.Vec) {
	n := int((hi[0]-lo[0])/(undersideCell/2)) + 1
	for i := range n + 1 {
		k := float64(i) / float64(n)
		d, r := lo[0]+k*(hi[0]-lo[0]), lo[1]+k*(hi[1]-lo[1])
		m := int(2*math.Pi*r/(undersideCell/2)) + 8
		for j := range m {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(m))
			p := r3.Add(r3.Scale(d, axis), r3.Scale(r*cos, side))
			u.lower(p.X, p.Y+r*sin, p.Z)
		}
	}
}

// lowestOf returns how far a head that leans by so much reaches below its tip, mm,
// 0 or negative.
func lowestOf(card *machine.Card, lean float64) float64 {
	axis, least := card.Axis(machine.Pose{Lean: lean}), 0.0
	for _, p := range card.Head.Profile {
		least = math.Min(least, p[0]*axis.Z-p[1]*math.Hypot(axis.X, axis.Y))
	}
	h := card.HeadSeen()
	for i := range h.Boxes {
		b := h.Boxes[i].Leaning(lean)
		least = math.Min(least, b.Min[2])
	}
	return least
}

func (u *underside) lower(x, y, z float64) {
	i, j := u.n+int(math.Round(x/undersideCell)), u.n+int(math.Round(y/undersideCell))
	if i < 0 || j < 0 || i > 2*u.n || j > 2*u.n {
		return
	}
	k := j*(2*u.n+1) + i
	u.z[k] = math.Min(u.z[k], z)
	u.least = math.Min(u.least, z)
}

// spread gives each cell the least height within undersideSpread.
func (u *underside) spread() {
	side := 2*u.n + 1
	out := make([]float64, len(u.z))
	const far = 3 // cells: undersideSpread, rounded up
	for j := range side {
		for i := range side {
			low := math.Inf(1)
			for dj := max(-far, -j); dj <= min(far, side-1-j); dj++ {
				for di := max(-far, -i); di <= min(far, side-1-i); di++ {
					if float64(di*di+dj*dj)*undersideCell*undersideCell <= undersideSpread*undersideSpread {
						low = math.Min(low, u.z[(j+dj)*side+i+di])
					}
				}
			}
			out[j*side+i] = low
		}
	}
	u.z = out
}

// at returns the head's least height over the place (x, y), +Inf where it
// doesn't reach.
func (u *underside) at(x, y float64) float64 {
	i, j := u.n+int(math.Round(x/undersideCell)), u.n+int(math.Round(y/undersideCell))
	if i < 0 || j < 0 || i > 2*u.n || j > 2*u.n {
		return math.Inf(1)
	}
	return u.z[j*(2*u.n+1)+i]
}

const (
	// peakMargin is how far the head stays over earlier zones where it crosses
	// them on its own zone's shells, mm.
	peakMargin = 0.2
	// nearTip is how near to the tip peaks aren't looked at, mm: there the zone's
	// own base lies, over which the tip keeps its height by itself.
	nearTip = 3.0
)

// clears reports whether a head that leans toward azimuth with its tip at tip
// stays over the peaks.
func (u *underside) clears(peaks []peak, tip r3.Vec, azimuth float64) bool {
	sin, cos := math.Sincos(azimuth)
	for i := range peaks {
		p := &peaks[i]
		over := p.z - tip.Z
		if over < u.least-peakMargin {
			return true // and so are all that follow
		}
		dx, dy := p.x-tip.X, p.y-tip.Y
		if dx*dx+dy*dy < nearTip*nearTip {
			continue
		}
		if over > u.at(dx*cos+dy*sin, dy*cos-dx*sin)-peakMargin {
			return false
		}
	}
	return true
}

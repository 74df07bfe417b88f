package register

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// gaps looks for heights of the mesh where a bead could lie and no layer is.
func (f *finder) gaps() misfit {
	m := misfit{missing: true}
	usual := f.o.LayerHeight
	below := f.cut.min.Z
	if d := -f.at.d.Z; d > 0 && d < sunk { // what the file sinks under its bed isn't printed
		below += d
	}
	for i := f.first; i <= len(f.list); i++ {
		above := f.cut.max.Z
		h := usual
		if i < len(f.list) {
			above = f.list[i].mid() - f.at.d.Z
			h = math.Max(f.list[i].h, usual)
		}
		if gap := above - below; gap > 1.6*h {
			m.worsen(f.gap(below+0.8*h, above-0.8*h, i))
		}
		below = above
	}
	return m
}

// sunk is how much of the mesh may lie under the bed, mm: the job tells of it.
const sunk = 1.0

func (f *finder) gap(lo, hi float64, i int) misfit {
	fp := footprint{}
	step := math.Max(f.o.LayerHeight/2, (hi-lo)/50)
	m := misfit{missing: true}
	for z := lo; z <= hi; z += step {
		fp.pieces = f.cut.cut(fp.pieces[:0], z)
		fp.build()
		p, thin, some := fp.wants(f.at.inset)
		off := math.Min(z-lo, hi-z) + f.o.LayerHeight
		if thin { // a planner may leave out the last of an edge that runs thin
			off -= isletLayers * f.o.LayerHeight
		}
		if some {
			m.worsen(misfit{off: off, missing: true, line: f.list[min(i, len(f.list)-1)].first,
				at: r3.Vec{X: p.X + f.at.d.X, Y: p.Y + f.at.d.Y, Z: z + f.at.d.Z}})
		}
	}
	return m
}

// wants tells whether a planner is bound to lay beads into a section: where more
// than an island fits that it may leave out. thin reports that no two beads fit
// side by side there.
func (f *footprint) wants(inset float64) (at r2.Vec, thin, some bool) {
	var wide, narrow patch
	sample(f.pieces, outlineStep, mostOutline, func(q *piece, t float64) {
		if math.Abs(q.slope) >= steepSlope || !f.reachable(q, t, inset) {
			return
		}
		p := along(q.a, q.b, t)
		narrow.add(p)
		if f.thicker(q, t, twoBeads*inset) {
			wide.add(p)
		}
	})
	if wide.large() {
		return wide.first, false, true
	}
	return narrow.first, true, narrow.large()
}

// patch is the extent of some places.
type patch struct {
	box
	first r2.Vec
	n     int
}

func (p *patch) add(v r2.Vec) {
	if p.n == 0 {
		p.box, p.first = emptyBox(), v
	}
	p.n++
	p.box.add(v)
}

// large reports more than an island.
func (p *patch) large() bool { return p.n > 2 && r2.Norm(p.size()) > isletReach }

package register

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// gaps looks for heights of the mesh where a bead could lie and no layer is.
func (f *finder) gaps() misfit {
	m := misfit{missing: true}
	usual := f.o.LayerHeight
	below := math.Max(f.cut.min.Z, math.Min(f.cut.min.Z+sunk, f.list[f.first].mid()-f.at.d.Z))
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

// sunk is how much of the mesh may lie under the bed, mm.
const sunk = 1.0

func (f *finder) gap(lo, hi float64, i int) misfit {
	fp := footprint{}
	step := math.Max(f.o.LayerHeight/2, (hi-lo)/50)
	m := misfit{missing: true}
	for z := lo; z <= hi; z += step {
		fp.pieces = f.cut.cut(fp.pieces[:0], z)
		fp.build()
		for k := range fp.pieces {
			q := &fp.pieces[k]
			if fp.reachable(q, 0.5, f.at.inset) && math.Abs(q.slope) < steepSlope {
				p := along(q.a, q.b, 0.5)
				off := math.Min(z-lo, hi-z) + f.o.LayerHeight
				m.worsen(misfit{off: off, missing: true, line: f.list[min(i, len(f.list)-1)].first,
					at: r3.Vec{X: p.X + f.at.d.X, Y: p.Y + f.at.d.Y, Z: z + f.at.d.Z}})
				break
			}
		}
	}
	return m
}

package register

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// height.go settles dz where footprints can't tell it, or not to the last
// hundredth: the simplest place that fits as well as the best wins.

// asGood tells when one fit is taken to be as good as another. Samples beside a
// corner meet a bead or miss it by chance: the shares differ by that.
func asGood(simple, best fit) bool {
	chance := 2 * math.Sqrt(float64(best.missed)) / math.Max(1, float64(best.n+best.missed))
	return simple.rms <= best.rms*1.05+0.0015 && simple.share >= best.share-0.01-chance
}

// simplest tries the plain answers for dz: the file's z = 0 is the mesh's, or
// the layer where the part begins lies on the mesh's bottom (a raft). Where
// neither fits and footprints are blind to dz, the tops decide.
func (f *fitter) simplest(at fit, list []layer) fit {
	fixed := func(dz float64) fit {
		try := at
		try.d.Z = dz
		return f.settle(try, again, true)
	}
	plain := fixed(0)
	tries := []fit{plain}
	if begin := f.begins(plain); begin > 0 { // z = 0 is under a raft
		tries = []fit{fixed(f.bottom(begin))}
	}
	if begin := f.begins(at); begin > 0 {
		tries = append(tries, fixed(f.bottom(begin)))
	}
	for _, try := range tries {
		if asGood(try, at) && f.topAgrees(try, list) {
			return try
		}
	}
	if f.blind(at) && !f.topAgrees(at, list) {
		at.d.Z = list[len(list)-1].z - f.printableTop(at.inset)
		at = f.settle(at, again, true)
	}
	return at
}

// bottom is the height under a kept layer.
func (f *fitter) bottom(i int) float64 {
	return f.slices[i].z - f.slices[i].h
}

// blind reports that dz doesn't show in the footprints: shifting by half a
// layer changes nothing.
func (f *fitter) blind(at fit) bool {
	for _, sign := range [2]float64{-1, 1} {
		try := at
		try.d.Z += sign * f.slices[0].h / 2
		if try = f.settle(try, again, true); !asGood(try, at) {
			return false
		}
	}
	return true
}

// topAgrees reports that the last layer is where the mesh ends, to a layer, and
// that there is some mesh half a layer under its top, where it was cut. A mesh that
// ends just there has that layer with some planners.
func (f *fitter) topAgrees(at fit, list []layer) bool {
	last := &list[len(list)-1]
	over := last.z - at.d.Z - f.printableTop(at.inset)
	return math.Abs(over) <= 1.1*last.h && (over < last.h/2+rounded || last.spiral)
}

// rounded is by how much the height of a mesh's top may be off, mm: single precision,
// the steps in which printableTop looks, and words of a thousandth.
const rounded = 0.002

// printableTop is the greatest height where a bead fits into the mesh.
func (f *fitter) printableTop(inset float64) float64 {
	step := math.Max(0.02, (f.cut.max.Z-f.cut.min.Z)/2000)
	fp := footprint{}
	for z := f.cut.max.Z - step/100; z > f.cut.min.Z; z -= step {
		fp.pieces = f.cut.cut(fp.pieces[:0], z)
		if len(fp.pieces) == 0 {
			continue
		}
		fp.build()
		for i := range fp.pieces {
			if fp.reachable(&fp.pieces[i], 0.5, inset) {
				return z
			}
		}
	}
	return f.cut.max.Z
}

// roomy is the part of a bead's half width that must be free about its middle
// for the outline there to count as within reach of beads: it leaves out sharp
// corners and walls thinner than a bead, keeps corners that turn by less than
// 37 degrees (cos 37 degrees = 0.8).
const roomy = 0.8

// thick is the least thickness of a wall, in half widths of a bead, that must
// have a bead; planners differ in what they do with thinner ones.
const thick = 2.4

// reachable reports whether a bead can lie along the piece at t.
func (f *footprint) reachable(q *piece, t, inset float64) bool {
	p := along(q.a, q.b, t)
	if depth, _ := f.depth(r2.Sub(p, r2.Scale(inset, q.out))); depth < roomy*inset {
		return false
	}
	return f.thicker(q, t, thick*inset)
}

// twoBeads is the thickness of a wall, in half widths of a bead, below which
// planners differ: one bead in the middle, wider or not, two, or two with gaps.
// A bare outline there is judged a bead's width more mildly.
const twoBeads = 4.4

// thicker reports whether the solid goes on for d, mm, square to the piece at t.
func (f *footprint) thicker(q *piece, t, d float64) bool {
	depth, _ := f.depth(r2.Sub(along(q.a, q.b, t), r2.Scale(d, q.out)))
	return depth > 0
}

// begins returns the index of the lowest kept layer that belongs to the part.
func (f *fitter) begins(at fit) int {
	for i := range f.slices[:min(lowLayers, len(f.slices))] {
		s := &f.slices[i]
		if i > 0 && i+1 < len(f.slices) { // over a raft is a gap, which isn't the layer's
			s.h = math.Min(s.h, f.slices[i+1].h)
		}
		if f.respects(s, at) {
			return i
		}
	}
	return 0
}

// surplus counts the layers below the mesh that are just like the part's first,
// kept layer begin: the file is higher than the mesh, which no raft or brim explains.
func (f *fitter) surplus(at fit, begin int) int {
	const same = 0.9 // of the outline
	n := 0
	for i := range f.slices[:begin] {
		s := f.slices[i]
		if s.mid()-at.d.Z > f.cut.min.Z {
			continue
		}
		s.layer.z, s.h, s.spiral, s.lead = f.slices[begin].z, f.slices[begin].h, false, false
		if !f.respects(&s, at) {
			continue
		}
		f.off, f.pieces = f.off[:0], f.cut.cut(f.pieces[:0], s.mid()-at.d.Z)
		var sums rows
		missed := f.match(&s, &at, again[0], again[0], &sums)
		try := at
		try.measure(f.off, missed)
		if try.n > 0 && try.share > same {
			n++
		}
	}
	return n
}

// respects reports that a layer has beads on the part and next to none that
// cross its outline, as a raft's do. Beads beyond (skirts, brims) don't count.
func (f *fitter) respects(s *slice, at fit) bool {
	const share, margin = 0.05, 0.15
	fp := footprint{pieces: f.cut.cut(nil, s.mid()-at.d.Z)}
	fp.build()
	in, across := 0.0, 0.0
	for _, g := range s.segments {
		n := steps(g)
		least, most := math.Inf(1), math.Inf(-1)
		for k := 0; k <= n; k++ {
			depth, _ := fp.depth(r2.Sub(along(g.a, g.b, float64(k)/float64(n)), plan(at.d)))
			least, most = math.Min(least, depth), math.Max(most, depth)
		}
		switch l := r2.Norm(r2.Sub(g.b, g.a)); {
		case least > -margin:
			in += l
		case most > margin:
			across += l
		}
	}
	return in > 0 && across <= share*in
}

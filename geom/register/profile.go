package register

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A profile is the mesh's extent in plan at many heights: enough to find where
// the layers fit roughly.
type profile struct {
	bottom, step float64
	boxes        []box
}

const (
	profileHeights = 512
	// profileLayers is how many layers are compared with it.
	profileLayers = 150
	// worst caps the misfit of one layer, mm, so that a few bad ones don't
	// outweigh the rest.
	worst = 3.0
	// kept is the share of layers, the best, that count: skirts, brims and
	// rafts are the rest.
	kept = 0.85
)

func newProfile(c *cutter) *profile {
	p := &profile{bottom: c.min.Z, step: (c.max.Z - c.min.Z) / profileHeights}
	var pieces []piece
	for i := range profileHeights {
		pieces = c.cutFacets(pieces[:0], p.bottom+(float64(i)+0.5)*p.step)
		p.boxes = append(p.boxes, boxOf(pieces))
	}
	return p
}

func (p *profile) at(z float64) (box, bool) {
	i := int(math.Floor((z - p.bottom) / p.step))
	if i < 0 || i >= len(p.boxes) || p.boxes[i].empty() {
		return box{}, false
	}
	return p.boxes[i], true
}

func (p *profile) top() float64 { return p.bottom + p.step*float64(len(p.boxes)) }

// place is a rough registration and its misfit.
type place struct {
	d      r3.Vec
	misfit float64
}

// places returns likely registrations, best first, among them dz = 0 and that
// which lets the tops agree.
func (p *profile) places(list []layer, half float64) []place {
	some := spread(list, profileLayers)
	top := list[len(list)-1].z
	height := p.top() - p.bottom
	lo := top - p.top() - 2*list[len(list)-1].h
	hi := lo + math.Min(0.3*height, 10) + 4*list[len(list)-1].h
	step := math.Max(p.step, (hi-lo)/400)
	var all []place
	for dz := lo; dz <= hi; dz += step {
		all = append(all, p.fit(some, dz, half))
	}
	best := []place{p.fit(some, 0, half)}
	slices.SortStableFunc(all, func(a, b place) int { return cmp.Compare(a.misfit, b.misfit) })
	const most = 6
	for _, a := range all {
		near := false
		for _, b := range best {
			near = near || math.Abs(a.d.Z-b.d.Z) < 2*step
		}
		if !near && len(best) < most {
			best = append(best, a)
		}
	}
	return append(best, p.fit(some, top-p.top(), half))
}

func spread(list []layer, n int) []layer {
	if len(list) <= n {
		return list
	}
	some := make([]layer, n)
	for i := range some {
		some[i] = list[i*(len(list)-1)/(n-1)]
	}
	return some
}

// fit finds the best dx, dy for a dz: medians of the middles.
func (p *profile) fit(list []layer, dz, half float64) place {
	var xs, ys, off []float64
	above := 0
	type pair struct{ bead, mesh box }
	var pairs []pair
	for i := range list {
		m, ok := p.at(list[i].mid() - dz)
		if !ok {
			if list[i].mid()-dz > p.bottom {
				above++
			}
			continue
		}
		b := list[i].box
		pairs = append(pairs, pair{b, m})
		xs = append(xs, (b.min.X+b.max.X-m.min.X-m.max.X)/2)
		ys = append(ys, (b.min.Y+b.max.Y-m.min.Y-m.max.Y)/2)
	}
	if len(pairs) == 0 {
		return place{d: r3.Vec{Z: dz}, misfit: worst * 2}
	}
	d := r2.Vec{X: median(xs), Y: median(ys)}
	for _, q := range pairs {
		e := 0.0
		for _, v := range [4]float64{
			q.bead.min.X - half - q.mesh.min.X - d.X, q.bead.max.X + half - q.mesh.max.X - d.X,
			q.bead.min.Y - half - q.mesh.min.Y - d.Y, q.bead.max.Y + half - q.mesh.max.Y - d.Y,
		} {
			e = math.Max(e, math.Abs(v))
		}
		off = append(off, math.Min(e, worst))
	}
	for range above {
		off = append(off, worst)
	}
	slices.Sort(off)
	off = off[:max(1, int(math.Ceil(kept*float64(len(off)))))]
	sum := 0.0
	for _, e := range off {
		sum += e
	}
	bare := math.Max(0, p.top()+dz-list[len(list)-1].z) / (p.top() - p.bottom)
	return place{d: r3.Vec{X: d.X, Y: d.Y, Z: dz}, misfit: sum/float64(len(off)) + worst*bare}
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return (s[len(s)/2] + s[(len(s)-1)/2]) / 2
}

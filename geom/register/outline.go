package register

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// A Footprint is what a file lays at one height, brought to the mesh's place:
// for looking at a fit, not for judging it.
type Footprint struct {
	Z   float64 // top of the layer's beads, mm, in the mesh's coordinates
	Mid float64 // height of the mesh's section that the layer was made of
	// On and Off count its beads that belong to the part and those that don't.
	On, Off int

	on, off []segment // in the mesh's coordinates
	grid    grid      // of on
	inset   float64
}

// footprints makes them of the layers that the fit has looked at, from below.
func (f *finder) footprints() []Footprint {
	list := make([]Footprint, len(f.kept))
	var section footprint
	for i := range list {
		s, p := &f.kept[i], &list[i]
		p.Z, p.Mid, p.inset = s.z-f.at.d.Z, s.mid()-f.at.d.Z, f.at.inset
		section.pieces = f.cut.cut(section.pieces[:0], p.Mid)
		section.build()
		for _, g := range s.segments {
			part := s.z >= f.list[f.first].z && onPart(&section, g, f.at.d)
			g.a, g.b = r2.Sub(g.a, plan(f.at.d)), r2.Sub(g.b, plan(f.at.d))
			if part {
				p.on = append(p.on, g)
			} else {
				p.off = append(p.off, g)
			}
		}
		p.On, p.Off = len(p.on), len(p.off)
		p.grid.build(len(p.on), func(i int) (r2.Vec, r2.Vec) { return p.on[i].a, p.on[i].b }, beadReach)
	}
	return list
}

// Beads returns the middle lines of the layer's beads, joined where one begins
// at the end of the last: those that belong to the part, and those that don't
// (skirts, brims, a raft, priming lines). The lines are the caller's.
func (p *Footprint) Beads() (on, off [][]r2.Vec) { return chains(p.on), chains(p.off) }

func chains(list []segment) [][]r2.Vec {
	var all [][]r2.Vec
	for _, s := range list {
		n := len(all)
		if n == 0 || all[n-1][len(all[n-1])-1] != s.a {
			all = append(all, []r2.Vec{s.a})
			n++
		}
		all[n-1] = append(all[n-1], s.b)
	}
	return all
}

const (
	// drawnStep is how far apart, mm, the outline of a footprint is looked for,
	// drawnWindow how far from the section, mm: a few times what is refused.
	drawnStep   = 0.5
	drawnWindow = 4 * MaxOutline
)

// Outline returns what the layer's outermost beads draw along the contours of
// the mesh's section at Mid (closed, solid on their left, as shell.Sections
// gives them): the place of their middle lines, moved out by the inset. A chain
// ends where no bead lies within 1.2 mm of the contour. The chains are the
// caller's.
func (p *Footprint) Outline(contours [][]r2.Vec) [][]r2.Vec {
	s := slice{segments: p.on, grid: p.grid}
	var all [][]r2.Vec
	for _, c := range contours {
		var chain []r2.Vec
		end := func() {
			if len(chain) > 1 {
				all = append(all, chain)
			}
			chain = nil
		}
		walk(c, func(at, out r2.Vec) {
			t, _, ok := s.meet(at, out, p.inset, drawnWindow)
			if !ok {
				end()
				return
			}
			chain = append(chain, r2.Add(at, r2.Scale(t+p.inset, out)))
		})
		end()
	}
	return all
}

// walk calls do for places along a closed contour, with the normal out of the
// solid there: near both ends of every longer edge, so that corners stay sharp,
// and a step apart.
func walk(contour []r2.Vec, do func(at, out r2.Vec)) {
	since := drawnStep
	for i, a := range contour {
		b := contour[(i+1)%len(contour)]
		d := r2.Sub(b, a)
		length := r2.Norm(d)
		if length == 0 {
			continue
		}
		out := r2.Vec{X: d.Y / length, Y: -d.X / length}
		if length < drawnStep {
			if since += length; since >= drawnStep {
				do(along(a, b, 0.5), out)
				since = 0
			}
			continue
		}
		n := math.Ceil(length / drawnStep)
		for k := 0.0; k <= n; k++ {
			do(along(a, b, math.Min(math.Max(k/n, nearCorner/length), 1-nearCorner/length)), out)
		}
		since = 0
	}
}

// nearCorner is how near a corner, mm, a place along an edge is still its own.
const nearCorner = 0.01

package register

import (
	"context"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/motion"
)

// slice is a layer with its beads, kept in memory for the fit.
type slice struct {
	layer
	low      bool // near the bed: skirts, brims, rafts and a squeezed first layer
	segments []segment
	grid     grid
}

const (
	// fitLayers is how many layers the fit looks at, lowLayers how many of the
	// lowest are kept to see where the part begins.
	fitLayers = 40
	lowLayers = 14
	// maxBeads bounds the beads that are kept: 40 bytes each.
	maxBeads = 1_000_000
	// beadReach is how far from a bead's middle line the grid finds it, mm.
	beadReach = 0.1
)

// choose picks the layers to keep: the lowest, and some spread over the rest.
// Above the lowest few the part stands alone.
func choose(list []layer) []slice {
	alone := min(4, len(list)/3)
	n := fitLayers
	for ; n > 8; n /= 2 {
		if beadsOf(spread(list[alone:], n)) < maxBeads {
			break
		}
	}
	var kept []slice
	sum := 0
	for i, l := range list[:min(lowLayers, len(list))] {
		if sum += l.beads; sum > maxBeads && i > 0 {
			break
		}
		kept = append(kept, slice{layer: l, low: true})
	}
	for _, l := range spread(list[alone:], n) {
		i := slices.IndexFunc(kept, func(s slice) bool { return s.z == l.z })
		if i >= 0 {
			kept[i].low = false
			continue
		}
		kept = append(kept, slice{layer: l})
	}
	return kept
}

func beadsOf(list []layer) int {
	sum := 0
	for i := range list {
		sum += list[i].beads
	}
	return sum
}

// collect is the second pass: it fills the slices with their beads.
func collect(ctx context.Context, src io.Reader, o *Options, list []layer, kept []slice, flow float64) error {
	where := make([]int, len(list))
	for i := range where {
		where[i] = slices.IndexFunc(kept, func(s slice) bool { return s.z == list[i].z })
	}
	b := beads{list: list, flow: flow}
	_, err := motion.Read(ctx, src, o.Read, func(ev *motion.Event) error {
		if !ev.Extrudes() {
			return nil
		}
		if i, s, sure := b.bead(ev); sure && where[i] >= 0 {
			k := &kept[where[i]]
			k.segments = append(k.segments, s)
		}
		return nil
	})
	for i := range kept {
		k := &kept[i]
		k.grid.build(len(k.segments), func(i int) (r2.Vec, r2.Vec) { return k.segments[i].a, k.segments[i].b }, beadReach)
	}
	return err
}

// beads assigns beads to layers.
type beads struct {
	list []layer
	flow float64
	last int // the layer of the last bead
}

// bead returns the layer of an event that lays a bead, and the bead. sure is
// false where the fit had better not rely on it: it is next to nothing, lies at
// no layer's height (the nearest is returned then) or comes from a guessed
// place.
func (b *beads) bead(ev *motion.Event) (i int, s segment, sure bool) {
	s = segment{a: plan(ev.From), b: plan(ev.To)}
	rising := ev.To.Z-ev.From.Z > zStep/2 || ev.From.Z-ev.To.Z > zStep/2
	z := ev.To.Z
	if rising {
		z = (ev.From.Z + ev.To.Z) / 2
	}
	dx, dy := s.b.X-s.a.X, s.b.Y-s.a.Y
	sure = ev.Placed() && ev.E >= poorFlow*b.flow*math.Sqrt(dx*dx+dy*dy)
	if l := &b.list[b.last]; rising || l.z != z || l.spiral {
		var near bool
		b.last, near = find(b.list, z, rising)
		sure = sure && near
	}
	s.dz = z - b.list[b.last].z
	return b.last, s, sure
}

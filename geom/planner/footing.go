package planner

import (
	"context"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A ring of the fill, or a wall, may begin between the beads of the layer below:
// just where a floor's last bead ends. It would hang over its whole length. A
// footing is one more bead in the layer below that carries it: it lies under it
// as nearly as the beads there let it, so that they carry it in turn.

const (
	// footingApart is how near to its neighbour a footing lies, in pitches: as near
	// as the fill lies to a cap.
	footingApart = capInset + fillInset
	// footingReach is how far from the nearest bead of its layer, in pitches, a
	// footing is of use: it leans on it.
	footingReach = 3
	// footingHeld is the share of a footing that must rest on something.
	footingHeld = 0.7
	// footingRounds is how many layers of footings may lie on each other.
	footingRounds = 2
	// mostMoved is how far a bead is moved, in pitches, that hangs beside what would
	// carry it, movedApart how near to its neighbours, and movedOnto how near to what
	// carries it, as a share of where it just rests.
	mostMoved  = 0.5
	movedApart = 0.6
	movedOnto  = 0.97
	// everySample is which of a bead's samples it keeps: it needn't be smooth.
	everySample = 3
)

// layFootings adds the footings that beads need and marks the beads that still
// hang.
func layFootings(ctx context.Context, layers [][]island, regions []Region, covers []cover, o *Options) error {
	beds := make([]*laid, len(layers))
	none := func(float64) {}
	err := inParallel(ctx, len(layers), none, func(i int) error {
		beds[i] = newLaid(layers[i])
		return nil
	})
	if err != nil {
		return err
	}
	// A layer is asked again where it, or the one below, got footings.
	ask := make([]bool, len(layers))
	for i := range ask {
		ask[i] = i > 0
	}
	for range footingRounds {
		found := make([][]Bead, len(layers))
		err := inParallel(ctx, len(layers), none, func(i int) error {
			if ask[i] {
				found[i-1] = footings(layers[i], i, regions[i-1], beds, o)
			}
			return nil
		})
		if err != nil {
			return err
		}
		ask = make([]bool, len(layers))
		for i, beads := range found {
			for k := range beads {
				home(layers[i], &beads[k])
				beds[i].add(&beads[k])
				ask[i], ask[i+1] = i > 0, true
			}
		}
	}
	for i := 1; i < len(layers); i++ {
		if ask[i] {
			footings(layers[i], i, nil, beds, o)
		}
		moved := moveOntoHold(layers[i], i, beds[i-1], o)
		if dropLeaning(layers[i], covers[i].buried) || moved {
			beds[i] = newLaid(layers[i])
			if i+1 < len(layers) {
				ask[i+1] = true
			}
		}
	}
	layBridges(layers, regions, beds, o)
	return nil
}

// dropLeaning takes away the beads of caps that hang where nothing is open over or
// under them: they only anchor the cap, and hold nothing in the air.
func dropLeaning(islands []island, buried Region) (dropped bool) {
	for k := range islands {
		isl := &islands[k]
		n := len(isl.fill)
		isl.fill = slices.DeleteFunc(isl.fill, func(b Bead) bool {
			if b.Kind != Cap || b.hangs == 0 {
				return false
			}
			for _, p := range b.Path {
				if !buried.Contains(p) {
					return false
				}
			}
			return true
		})
		dropped = dropped || len(isl.fill) < n
	}
	return dropped
}

// footings marks the beads of layer i that hang and returns what they need in
// the layer below, whose region is given.
func footings(islands []island, i int, region Region, beds []*laid, o *Options) []Bead {
	var out []Bead
	for k := range islands {
		islands[k].each(func(b *Bead) {
			var runs [][]r2.Vec
			runs, b.hangs = o.hanging(b, i, beds[i-1])
			if len(region) == 0 {
				return
			}
			for _, run := range runs {
				out = append(out, footing(run, i-1, region, beds, o)...)
			}
		})
	}
	return out
}

// footing returns the beads of layer i that carry a hanging run of the layer
// above.
func footing(run []r2.Vec, i int, region Region, beds []*laid, o *Options) []Bead {
	var under *laid
	if i > 0 {
		under = beds[i-1]
	}
	var out []Bead
	var path []r2.Vec
	held := 0
	end := func() {
		if o.realLength(path) >= longHang/2 && float64(held) >= footingHeld*float64(len(path)) {
			out = append(out, Bead{Path: sparser(path), Kind: Fill})
		}
		path, held = nil, 0
	}
	for _, p := range run {
		q := o.below(p)
		length := o.along(q)
		side, ok := beds[i].nearest(q, footingReach*o.Pitch, length)
		if !ok {
			end()
			continue
		}
		// Toward the neighbour, but not nearer than fill lies to a cap, and not so
		// far that the run above isn't carried.
		if apart := r2.Norm(r2.Sub(side, q)); apart > footingApart*o.Pitch {
			scale := length(r2.Sub(side, q)) / apart
			by := min(apart-footingApart*o.Pitch, 0.8*restSideways*o.width(q)/scale)
			q = r2.Add(q, r2.Scale(by/apart, r2.Sub(side, q)))
		}
		if !region.Contains(q) {
			end()
			continue
		}
		path = append(path, q)
		if o.rests(q, i, under) {
			held++
		}
	}
	end()
	return out
}

// sparser keeps some of the samples.
func sparser(path []r2.Vec) []r2.Vec {
	var out []r2.Vec
	for i := 0; i < len(path)-1; i += everySample {
		out = append(out, path[i])
	}
	return append(out, path[len(path)-1])
}

// home gives a bead to the island that it lies nearest to.
func home(islands []island, b *Bead) {
	best, least := 0, -1.0
	if len(islands) == 0 {
		return
	}
	for k := range islands {
		islands[k].each(func(other *Bead) {
			if d := r2.Norm2(r2.Sub(other.Path[0], b.Path[0])); least < 0 || d < least {
				best, least = k, d
			}
		})
	}
	islands[best].fill = append(islands[best].fill, *b)
}

// moveOntoHold moves fill and caps that hang beside what would carry them toward it,
// as far as the beads of their own layer let them.
func moveOntoHold(islands []island, i int, under *laid, o *Options) (moved bool) {
	for k := range islands {
		fill := islands[k].fill
		for n := range fill {
			if b := &fill[n]; b.hangs > 0 && b.Width == nil && o.ontoHold(b, i, under, islands[k].without(n)) {
				moved = true
			}
		}
	}
	return moved
}

// without returns where the island's beads lie, one of its fill left out.
func (isl island) without(n int) *laid {
	isl.fill = slices.Delete(slices.Clone(isl.fill), n, n+1)
	return newLaid([]island{isl})
}

// ontoHold moves a bead's samples that hang, where that holds most of them.
func (o *Options) ontoHold(b *Bead, i int, under, beside *laid) bool {
	path := sparser(samples(b))
	for k, p := range path {
		path[k] = o.held(p, i, under, beside)
	}
	if b.Closed {
		path = path[:len(path)-1]
	}
	if len(path) < 2 {
		return false
	}
	next := *b
	next.Path = path
	_, next.hangs = o.hanging(&next, i, under)
	if next.hangs > (1-footingHeld)*b.hangs {
		return false
	}
	*b = next
	return true
}

// held returns the place nearest to p at which a bead of layer i rests; p where that
// is too far, or too near to the beads beside it.
func (o *Options) held(p r2.Vec, i int, under, beside *laid) r2.Vec {
	if o.rests(p, i, under) {
		return p
	}
	q := o.below(p)
	length := o.along(q)
	side, ok := under.nearest(q, footingReach*o.Pitch, length)
	if !ok {
		return p
	}
	v := r2.Sub(side, q)
	far := length(v)
	by := (far - movedOnto*restSideways*o.width(q)) / far
	to := r2.Add(p, r2.Scale(by, v))
	if _, near := beside.nearest(to, movedApart*o.Pitch, r2.Norm); near || by*r2.Norm(v) > mostMoved*o.Pitch {
		return p
	}
	return to
}

package planner

import (
	"context"

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
)

// layFootings adds the footings that beads need and marks the beads that still
// hang.
func layFootings(ctx context.Context, layers [][]island, regions []Region, o *Options) error {
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
	return inParallel(ctx, len(layers), none, func(i int) error {
		if ask[i] {
			footings(layers[i], i, nil, beds, o)
		}
		return nil
	})
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
			out = append(out, Bead{Path: everyThird(path), Kind: Fill})
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

// everyThird keeps every third sample: a footing needn't be smooth.
func everyThird(path []r2.Vec) []r2.Vec {
	const every = 3
	var out []r2.Vec
	for i := 0; i < len(path)-1; i += every {
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

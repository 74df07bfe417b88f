package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Where a bead hangs over sparse fill, no bead along it can be laid in the layer
// below: it would hang too. Short beads across it can: each goes from one bead of
// that layer to the next, anchored at both ends, and the bead above goes from one of
// them to the next. Plastic bridges both gaps (common practice, no source).

const (
	// bridgeApart is how far, mm, a hanging bead goes from one bridge to the next: as
	// far as under a roof.
	bridgeApart = roofReach
	// longestBridge is the greatest length of a bridge, mm: less than what counts as
	// hanging (CONTRACT).
	longestBridge = 4.0
	// freeBridge is how far, mm, a bridge that finds nothing to end at goes past what
	// it carries: it holds on one end only.
	freeBridge = 0.4
	// bridgeShift is how far, mm, a bridge is moved along the bead that it carries
	// where there is no room for it, each time.
	bridgeShift = 0.4
	// bridgeStep is the step in which the room for a bridge is felt out, mm.
	bridgeStep = 0.05
)

// layBridges lays bridges in the layer below wherever a bead still hangs.
func layBridges(layers [][]island, regions []Region, beds []*laid, o *Options) {
	for i := 1; i < len(layers); i++ {
		for k := range layers[i] {
			layers[i][k].each(func(b *Bead) {
				if b.hangs == 0 || len(regions[i-1]) == 0 {
					return
				}
				runs, _ := o.hanging(b, i, beds[i-1])
				for _, run := range runs {
					for _, bridge := range o.bridges(run, regions[i-1], beds[i-1]) {
						home(layers[i-1], &bridge)
						beds[i-1].add(&bridge)
					}
				}
				_, b.hangs = o.hanging(b, i, beds[i-1])
			})
		}
	}
}

// bridges returns the bridges that carry a run of samples that hangs over the layer
// whose region and beads are given.
func (o *Options) bridges(run []r2.Vec, region Region, under *laid) []Bead {
	var out []Bead
	since := bridgeApart / 2 // length of the run from the last bridge on; a run may go on where it begins
	for k := 1; k < len(run)-1; k++ {
		since += o.along(run[k])(r2.Sub(run[k], run[k-1]))
		if since < bridgeApart {
			continue
		}
		since -= bridgeShift // tried again further on, where this finds no room
		if b, ok := o.bridge(run[k], r2.Sub(run[k+1], run[k-1]), region, under); ok {
			out = append(out, b)
			since = 0
		}
	}
	return out
}

// bridge returns the bead that carries a bead above at p, which runs in a direction.
func (o *Options) bridge(p, direction r2.Vec, region Region, under *laid) (Bead, bool) {
	if direction == (r2.Vec{}) {
		return Bead{}, false
	}
	q := o.below(p)
	across := r2.Unit(r2.Vec{X: -direction.Y, Y: direction.X})
	for _, apart := range []float64{footingApart, movedApart} { // a narrow gap is better filled too full than not
		gap := room{at: q, across: across, length: o.along(q), apart: apart * o.Pitch, region: region, under: under}
		if path := gap.bridge(restSideways*o.width(q), o.Pitch/2); path != nil {
			return Bead{Path: path, Kind: Fill, bridges: true}, true
		}
	}
	return Bead{}, false
}

// room is what is free on a line across a hanging bead, in the layer below. Places
// on the line are plan lengths from at.
type room struct {
	at, across r2.Vec
	length     func(v r2.Vec) float64 // on the shell
	apart      float64                // from other beads, in plan
	region     Region
	under      *laid
}

func (r *room) point(by float64) r2.Vec { return r2.Add(r.at, r2.Scale(by, r.across)) }

func (r *room) size(by float64) float64 { return r.length(r2.Scale(by, r.across)) }

// met reports that another bead lies so near that a bridge ends there.
func (r *room) met(by float64) bool {
	_, met := r.under.nearest(r.point(by), r.apart, r2.Norm)
	return met
}

func (r *room) free(by float64) bool { return !r.met(by) && r.region.Contains(r.point(by)) }

// bridge returns the ends of a bridge that comes as near to the line's origin as
// reach, on the shell, and isn't shorter than least in plan; nil where there is no
// room for it, or nothing that it holds on.
func (r *room) bridge(reach, least float64) []r2.Vec {
	from := 0.0
	for !r.free(from) { // 0, 1, -1, 2, -2 ... steps
		if from <= 0 {
			from = bridgeStep - from
		} else {
			from = -from
		}
		if r.size(from) > reach {
			return nil
		}
	}
	low, lowHeld := r.end(from, -bridgeStep)
	high, highHeld := r.end(from, bridgeStep)
	if !lowHeld && !highHeld || high-low < least || r.size(high-low) > longestBridge {
		return nil
	}
	return []r2.Vec{r.point(low), r.point(high)}
}

// end follows the line by steps until it meets another bead, and reports whether it
// does.
func (r *room) end(from, step float64) (by float64, held bool) {
	by = from
	for r.free(by+step) && r.size(by-from) <= longestBridge {
		by += step
	}
	if r.met(by + step) {
		return by, true
	}
	return from + math.Copysign(math.Min(math.Abs(by-from), freeBridge), step), false
}

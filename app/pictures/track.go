package pictures

import (
	"sort"

	"conewright/geom/deposit"
	"conewright/geom/machine"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// Track is a motion for looking at: where the tip is at which time and what is
// laid. It holds a bounded number of points, however long the motion is: the
// finest steps are left out where there are more.
type Track struct {
	points []point
	tips   []r3.Vec   // of the points
	beads  [][]r3.Vec // oldest first, stretches of tips
	ends   []int      // of each bead: its last point
	zones  []int16    // of each bead
	known  int        // zones of the setup; the file may have one more, a skirt
	head   machine.Head
	width  float64 // of a bead, mm
	// Hangs are the run's beads with nothing under them, for those who know them.
	Hangs []deposit.Hang
}

// point is a place on the way of the tip.
type point struct {
	azimuth float32 // radians, unwrapped
	time    float32 // seconds since the first move, rising
	line    int32   // of the motion file
	zone    int16
	lays    bool // the way to the point lays a bead
}

func (t *Track) findBeads() {
	first := 0
	for i := 1; i < len(t.points); i++ {
		p := &t.points[i]
		if !p.lays {
			continue
		}
		if n := len(t.beads); n == 0 || t.ends[n-1] != i-1 || t.zones[n-1] != p.zone {
			first = i - 1
			t.beads, t.ends, t.zones = append(t.beads, nil), append(t.ends, 0), append(t.zones, p.zone)
		}
		n := len(t.beads) - 1
		t.beads[n], t.ends[n] = t.tips[first:i+1:i+1], i
	}
}

// Seconds returns how long the motion takes.
func (t *Track) Seconds() float64 {
	if len(t.points) == 0 {
		return 0
	}
	return float64(t.points[len(t.points)-1].time)
}

// Begins returns when the first bead lies, seconds.
func (t *Track) Begins() float64 {
	if len(t.ends) == 0 {
		return 0
	}
	return float64(t.points[t.ends[0]].time)
}

// At returns the beads that are laid by a time and the head then.
func (t *Track) At(seconds float64) (*render.Laid, *render.Head) {
	if len(t.tips) == 0 {
		return nil, nil
	}
	i := sort.Search(len(t.points), func(i int) bool { return float64(t.points[i].time) >= seconds })
	if i == len(t.points) {
		i--
	}
	tip, azimuth := t.tips[i], float64(t.points[i].azimuth)
	if i > 0 {
		a, b := &t.points[i-1], &t.points[i]
		share := 1.0
		if span := float64(b.time - a.time); span > 0 {
			share = min(max((seconds-float64(a.time))/span, 0), 1)
		}
		tip = r3.Add(t.tips[i-1], r3.Scale(share, r3.Sub(tip, t.tips[i-1])))
		azimuth = float64(a.azimuth) + share*(azimuth-float64(a.azimuth))
	}
	return t.laid(i, tip), &render.Head{Shape: t.head, Tip: tip, Azimuth: azimuth}
}

// laid returns the beads up to a tip on the way to point i.
func (t *Track) laid(i int, tip r3.Vec) *render.Laid {
	end := sort.SearchInts(t.ends, i) // those before it are whole
	laid := &render.Laid{Beads: t.beads[:end:end], Width: t.width}
	if end < len(t.beads) {
		if first := t.ends[end] - len(t.beads[end]) + 1; first < i { // under way
			part := append(append([]r3.Vec{}, t.tips[first:i]...), tip)
			laid.Beads = append(laid.Beads, part)
		}
	}
	laid.Hanging = hanging(t.Hangs, int(t.points[i].line))
	count(laid, t.zones, t.known)
	return laid
}

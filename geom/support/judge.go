package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/polygon"
)

// judge tells what of the places no column holds. A place is held where, in the
// layer that columns under it end in, a column's outermost bead lies no farther than
// a line beyond the gap that it keeps from walls; or where the part or the bed
// itself lies under it within the gap.
func (h *holder) judge(p *Places) error {
	for k := range h.layers {
		i := h.low + k
		c := h.contacts.layers[i]
		if c == nil {
			continue
		}
		left, err := h.unheld(i, c)
		if err != nil {
			return err
		}
		if left > 0 {
			h.columns.Unheld += left
			h.columns.UnheldAt = c.at
		}
	}
	for _, b := range h.births {
		held := 0
		for _, piece := range b.pieces {
			var middle r3.Vec
			for _, v := range piece {
				middle = r3.Add(middle, r3.Scale(1/float64(len(piece)), v))
			}
			if h.holds(h.s.top(b.start.Height-h.s.Drop), middle) {
				held++
			}
		}
		const enough = 0.9
		if float64(held) < enough*float64(len(b.pieces)) {
			h.columns.UnheldStarts = append(h.columns.UnheldStarts, b.start)
		}
	}
	return nil
}

// reach is how far from a column's outermost bead a place is still held.
func (s *Shells) reach() float64 { return contactGap + 1.5*s.LineWidth }

// unheld returns the real area of a layer's own pieces that nothing holds.
func (h *holder) unheld(i int, c *contact) (area float64, err error) {
	for _, q := range c.steep {
		if !h.holds(i, q.at) {
			area += q.area
		}
	}
	if c.seen == 0 {
		return area, nil
	}
	var e errors
	free := e.of(polygon.Union(c.own))
	free = e.of(polygon.Subtract(free, e.of(polygon.GrowRound(h.layer(i).Centre, h.s.reach()))))
	for k := range gapLayers + 1 {
		free = e.of(polygon.Subtract(free, h.of(i+k)))
	}
	for _, piece := range free.Components() {
		if !h.onBed(i, piece[0][0]) {
			area += max(0, piece.Area()) * c.real / c.seen
		}
	}
	return area, e.first
}

// holds reports whether a place over layer i is held.
func (h *holder) holds(i int, at r3.Vec) bool {
	q := r2.Vec{X: at.X, Y: at.Y}
	if distance(h.layer(i).Centre, q) <= h.s.reach() || h.onBed(i, q) {
		return true
	}
	for k := range gapLayers + 1 {
		if h.of(i + k).Contains(q) {
			return true
		}
	}
	return false
}

// onBed reports that a column under a place would have no room over the bed.
func (h *holder) onBed(i int, q r2.Vec) bool {
	return (float64(i)+0.5)*h.s.Height+h.s.Drop-h.s.Field.At(q) <= 0
}

func (h *holder) layer(i int) *Layer {
	if k := i - h.low; k >= 0 && k < len(h.layers) {
		return &h.layers[k]
	}
	return &Layer{}
}

// distance is that of a place from an area, 0 inside.
func distance(r polygon.Region, p r2.Vec) float64 {
	switch {
	case len(r) == 0:
		return math.Inf(1)
	case r.Contains(p):
		return 0
	}
	return r.Distance(p)
}

package planner

import (
	"context"

	"conewright/geom/polygon"
)

// cover says what of a layer lies inside the part.
type cover struct {
	buried Region // solid in all of the Caps layers under it and over it: sparse; the rest is printed solid
	roofed Region // of buried: what the roof's first closed layer lies over, within roofLayers
}

// roofLayers is how many layers of fill under a roof cross its beads: the first
// of them crosses the fill below, the others make it stiff.
const roofLayers = 3

// coverings returns the cover of each layer. Past the mesh's ends nothing is
// buried. roofed is only found where the fill needs it.
//
// The intersection over a window of w layers is built from two running
// intersections that restart at every w-th layer (van Herk 1992, Gil and Werman
// 1993, there for minima): about four polygon operations a layer, however
// many caps.
func coverings(ctx context.Context, regions []Region, o Options, progress func(float64)) ([]cover, error) {
	n, w := len(regions), o.Caps
	covers := make([]cover, n)
	if o.Fill >= 1 {
		return covers, nil // all is solid anyway
	}
	if w == 0 {
		for i := range covers {
			covers[i].buried = regions[i]
		}
		return covers, nil
	}
	step := stages(progress, 0.4, 0.3, 0.3)
	fromStart, toEnd := make([]Region, n), make([]Region, n)
	blocks := (n + w - 1) / w
	err := inParallel(ctx, blocks, step(0), func(b int) error {
		return runningIntersections(regions, fromStart, toEnd, b*w, min(n, b*w+w))
	})
	if err != nil {
		return nil, err
	}
	windows := make([]Region, max(0, n-w+1)) // of the w layers from i on
	err = inParallel(ctx, len(windows), step(1), func(i int) (err error) {
		windows[i], err = window(fromStart, toEnd, i, w)
		return err
	})
	if err != nil {
		return nil, err
	}
	err = inParallel(ctx, n, step(2), func(i int) (err error) {
		if i < w || i+w >= n {
			return nil
		}
		c := &covers[i]
		if c.buried, err = polygon.Intersect(windows[i-w], windows[i+1]); err != nil || !o.fillFollowsCaps() {
			return err
		}
		c.roofed = c.buried
		if later := i + 1 + roofLayers; later < len(windows) {
			c.roofed, err = polygon.Subtract(c.buried, windows[later])
		}
		return err
	})
	return covers, err
}

// runningIntersections fills fromStart[i] with the intersection of regions lo
// to i and toEnd[i] with that of i to hi-1.
func runningIntersections(regions, fromStart, toEnd []Region, lo, hi int) (err error) {
	fromStart[lo], toEnd[hi-1] = regions[lo], regions[hi-1]
	for i := lo + 1; i < hi; i++ {
		if fromStart[i], err = polygon.Intersect(fromStart[i-1], regions[i]); err != nil {
			return err
		}
	}
	for i := hi - 2; i >= lo; i-- {
		if toEnd[i], err = polygon.Intersect(toEnd[i+1], regions[i]); err != nil {
			return err
		}
	}
	return nil
}

// window is the intersection of the w layers from start on.
func window(fromStart, toEnd []Region, start, w int) (Region, error) {
	if start%w == 0 {
		return toEnd[start], nil // a whole block; the last, cut-off block is never asked for
	}
	return polygon.Intersect(toEnd[start], fromStart[start+w-1])
}

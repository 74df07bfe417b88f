package planner

import (
	"context"

	"conewright/geom/polygon"
)

// coverings returns for each layer the region that is buried: solid in all of
// the o.Caps layers under it and over it. What isn't buried is printed solid.
// Past the mesh's ends nothing is buried.
//
// The intersection over a window of w layers is built from two running
// intersections that restart at every w-th layer (van Herk 1992, Gil and Werman
// 1993, there for minima): about three polygon operations a layer, however
// many caps.
func coverings(ctx context.Context, regions []Region, o Options, progress func(float64)) ([]Region, error) {
	n, w := len(regions), o.Caps
	covers := make([]Region, n)
	if o.Fill >= 1 {
		return covers, nil // all is solid anyway
	}
	if w == 0 {
		copy(covers, regions)
		return covers, nil
	}
	step := stages(progress, 0.6, 0.4)
	fromStart, toEnd := make([]Region, n), make([]Region, n)
	blocks := (n + w - 1) / w
	err := inParallel(ctx, blocks, step(0), func(b int) error {
		return runningIntersections(regions, fromStart, toEnd, b*w, min(n, b*w+w))
	})
	if err != nil {
		return nil, err
	}
	err = inParallel(ctx, n, step(1), func(i int) (err error) {
		if i < w || i+w >= n {
			return nil
		}
		under, err := window(fromStart, toEnd, i-w, w)
		if err != nil {
			return err
		}
		over, err := window(fromStart, toEnd, i+1, w)
		if err != nil {
			return err
		}
		covers[i], err = polygon.Intersect(under, over)
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

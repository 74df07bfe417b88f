// Package section cuts meshes along level sets: a warped mesh by level planes,
// which gives the regions of the planar layers, and the real part by its own
// shells z + f = c, which gives the curves to draw.
//
// Both are one sweep over a value a vertex. A vertex that lies exactly on a
// level counts as above it (symbolic perturbation; Edelsbrunner and Mücke,
// "Simulation of simplicity", ACM Trans. Graphics 9, 1990, named from memory),
// so every facet that is cut is cut along one segment, and the contours of a
// closed mesh are always closed.
package section

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/polygon"
)

// Section is the cut of a mesh by a level plane.
type Section struct {
	Z float64 // mm
	// Contours are closed, without the first point again at the end. Solid is
	// on their left: outer ones run counter-clockwise, holes clockwise. Each
	// has three points or more, none twice in a row, and an area.
	Contours [][]r2.Vec
	// Open counts what the mesh left open here: chains of segments whose ends
	// are too far apart to be joined. They are not among the contours.
	Open int
}

// Sections cuts m by the level planes at the given heights, which must ascend
// (equal neighbours are allowed) and be finite. Where m isn't closed, chains
// are joined across gaps of up to JoinGap. The sections are the caller's.
func Sections(ctx context.Context, m *mesh.Mesh, heights []float64) ([]Section, error) {
	values := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		values[i] = v.Z
	}
	s, err := newSweep(m, values, heights)
	if err != nil {
		return nil, fmt.Errorf("cutting at heights: %w", err)
	}
	sections := make([]Section, len(heights))
	err = s.run(ctx, func(i int, c *cut) {
		loops, open := c.joined()
		sections[i] = Section{Z: heights[i], Contours: contours(loops), Open: open}
	})
	if err != nil {
		return nil, fmt.Errorf("cutting at heights: %w", err)
	}
	return sections, nil
}

// Curve is the cut of a part by one of its shells.
type Curve struct {
	C float64 // the shell is z + f = C, mm
	// Lines are closed, without the first point again at the end; seen from
	// above, solid is on their left.
	Lines [][]r3.Vec
	// Chains end where the mesh is open.
	Chains [][]r3.Vec
}

// Curves returns where the shells z + f = c of the given values, which must
// ascend, meet the surface of m, in place on the bed and not warped. Between
// vertices the lift is taken as linear: refine m first (warp.Refine) as exactly
// as the curves are to be.
func Curves(ctx context.Context, m *mesh.Mesh, f *field.Field, c []float64) ([]Curve, error) {
	lifted := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		lifted[i] = f.Warp(v).Z
	}
	s, err := newSweep(m, lifted, c)
	if err != nil {
		return nil, fmt.Errorf("cutting along shells: %w", err)
	}
	curves := make([]Curve, len(c))
	err = s.run(ctx, func(i int, found *cut) {
		curves[i].C = c[i]
		for _, loop := range found.loops {
			if loop = withoutDoubles(loop, true); len(loop) >= 3 {
				curves[i].Lines = append(curves[i].Lines, loop)
			}
		}
		for _, chain := range found.chains {
			if chain = withoutDoubles(chain, false); len(chain) >= 2 {
				curves[i].Chains = append(curves[i].Chains, chain)
			}
		}
	})
	if err != nil {
		return nil, fmt.Errorf("cutting along shells: %w", err)
	}
	return curves, nil
}

const (
	// samePlace is the distance, mm, within which points in a row are one:
	// what rounding leaves between the cuts of edges that meet in a vertex.
	samePlace = 1e-9
	// noArea is the area, mm^2, below which a contour encloses nothing: a square
	// micrometre, far below any bead.
	noArea = 1e-6
)

// contours drops what is double, short or empty of closed curves, seen in plan.
func contours(loops [][]r3.Vec) [][]r2.Vec {
	var out [][]r2.Vec
	for _, loop := range loops {
		loop = withoutDoubles(loop, true)
		if len(loop) < 3 {
			continue
		}
		contour := make([]r2.Vec, len(loop))
		for i, p := range loop {
			contour[i] = r2.Vec{X: p.X, Y: p.Y}
		}
		if math.Abs(polygon.SignedArea(contour)) > noArea {
			out = append(out, contour)
		}
	}
	return out
}

// withoutDoubles copies points without those at the place of the one before.
func withoutDoubles(points []r3.Vec, closed bool) []r3.Vec {
	out := make([]r3.Vec, 0, len(points))
	for _, p := range points {
		if len(out) == 0 || !same(out[len(out)-1], p) {
			out = append(out, p)
		}
	}
	for closed && len(out) > 1 && same(out[0], out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	return out
}

func same(p, q r3.Vec) bool {
	return r3.Norm2(r3.Sub(p, q)) <= samePlace*samePlace
}

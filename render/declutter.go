package render

import (
	"math"

	"conewright/render/hidden"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// leastGap is how near shells may come to each other on paper on the whole of
	// their way, mm: nearer ones run together to a black patch.
	leastGap = 0.5
	// wellSeen is the cosine above which a surface isn't seen edge on.
	wellSeen = 0.5
	// lookEvery is the number of segments of which one is tested for that.
	lookEvery = 8
	// mostDecluttered bounds the shells left out: one of so many is drawn.
	mostDecluttered = 32
)

// decluttered leaves shells out where the surface is seen so nearly edge on that they
// would run together: of two, of four, of eight ... one stays.
func (z *zoneModel) decluttered(d *drawnCurves, k spaceKey) []hidden.Path {
	scale := paperStep / k.look.sampling.step // mm of paper a mm
	step := d.shell / math.Cos(z.field.Angle()) * float64(d.nth) * scale
	paths := make([]hidden.Path, 0, len(d.paths))
	for i := range d.paths {
		if d.ranks[i]%z.every(&d.paths[i], k.look.toward, step) == 0 {
			paths = append(paths, d.paths[i])
		}
	}
	return paths
}

// every returns of how many shells one is drawn where a path runs.
func (z *zoneModel) every(p *hidden.Path, toward r3.Vec, step float64) int {
	for s := 0; s < len(p.Normals); s += lookEvery {
		if r3.Dot(p.Normals[s], toward) >= wellSeen {
			return 1
		}
	}
	gap, every := z.gap(p, toward, step), 1
	for ; every < mostDecluttered && gap < leastGap; every *= 2 {
		gap *= 2
	}
	return every
}

// gap returns how far the next shell is on paper on the mean of what is seen of a
// path, step being how far it is upright: the area of the strip between both on
// paper by the length of the path there.
func (z *zoneModel) gap(p *hidden.Path, toward r3.Vec, step float64) float64 {
	area, length := 0.0, 0.0
	for s, n := range p.Normals {
		cos := r3.Dot(n, toward)
		if cos <= 0 {
			continue
		}
		slope, _ := z.field.Grad(r2.Vec{X: p.Points[s].X, Y: p.Points[s].Y})
		rise := r3.Vec{X: (1 - z.warp) * slope.X, Y: (1 - z.warp) * slope.Y, Z: 1} // of z + f, as it is drawn
		steep := r3.Norm(r3.Sub(rise, r3.Scale(r3.Dot(rise, n), n)))               // along the surface
		way := r3.Sub(p.Points[s+1], p.Points[s])
		area += step / math.Max(steep, 1e-9) * r3.Norm(way) * cos
		length += r3.Norm(r3.Sub(way, r3.Scale(r3.Dot(way, toward), toward)))
	}
	if length == 0 {
		return math.Inf(1)
	}
	return area / length
}

package section

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// bands files the edges of loops by height, so that a point meets only those
// near it.
type bands struct {
	low, scale float64
	edges      [][][2]r2.Vec
}

const mostBands = 512

func newBands(loops [][]r2.Vec) *bands {
	low, high, count := math.Inf(1), math.Inf(-1), 0
	for _, loop := range loops {
		for _, p := range loop {
			low, high = math.Min(low, p.Y), math.Max(high, p.Y)
		}
		count += len(loop)
	}
	b := &bands{low: low}
	if !(high > low) {
		return b
	}
	n := min(count, mostBands)
	b.scale = float64(n) / (high - low)
	b.edges = make([][][2]r2.Vec, n)
	for _, loop := range loops {
		for i, p := range loop {
			q := loop[(i+1)%len(loop)]
			for k := b.band(min(p.Y, q.Y)); k <= b.band(max(p.Y, q.Y)); k++ {
				b.edges[k] = append(b.edges[k], [2]r2.Vec{p, q})
			}
		}
	}
	return b
}

func (b *bands) band(z float64) int {
	return max(0, min(int((z-b.low)*b.scale), len(b.edges)-1))
}

func (b *bands) inside(x, z float64) bool {
	if len(b.edges) == 0 || z < b.low {
		return false
	}
	in := false
	for _, e := range b.edges[b.band(z)] {
		p, q := e[0], e[1]
		if (p.Y > z) != (q.Y > z) && x < p.X+(z-p.Y)/(q.Y-p.Y)*(q.X-p.X) {
			in = !in
		}
	}
	return in
}

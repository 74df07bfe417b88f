package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Filament is what the whole motion pushes, mm of the filament's diameter.
func (m *Motion) Filament() float64 {
	sum := 0.0
	for i := range m.Layers {
		for j := range m.Layers[i].Beads {
			sum += m.Layers[i].Beads[j].filament(&m.Options)
		}
	}
	return sum
}

// WidthRange is the least and greatest planar width of all beads, mm, by their
// share of the pitch: gap beads are narrower or wider than a pitch.
func (m *Motion) WidthRange() (least, greatest float64) {
	least, greatest = math.Inf(1), math.Inf(-1)
	for i := range m.Layers {
		for j := range m.Layers[i].Beads {
			widths := m.Layers[i].Beads[j].Width
			if widths == nil {
				widths = []float64{m.Options.Pitch}
			}
			for _, w := range widths {
				least, greatest = math.Min(least, w), math.Max(greatest, w)
			}
		}
	}
	return least, greatest
}

func (b *Bead) filament(o *Options) float64 {
	sum := 0.0
	for i := 1; i < b.points(); i++ {
		sum += b.push(i, o)
	}
	return sum
}

// points counts the bead's points, the return to its start included.
func (b *Bead) points() int {
	if b.Closed {
		return len(b.Path) + 1
	}
	return len(b.Path)
}

func (b *Bead) point(i int) r2.Vec { return b.Path[i%len(b.Path)] }

// push is the filament of the bead's segment that ends in point i: section x
// length / filament section.
func (b *Bead) push(i int, o *Options) float64 {
	area := o.BeadArea
	if b.Width != nil {
		n := len(b.Width)
		area *= (b.Width[(i-1)%n] + b.Width[i%n]) / 2 / o.Pitch
	}
	return area * r2.Norm(r2.Sub(b.point(i), b.point(i-1))) / (math.Pi / 4 * o.Filament * o.Filament)
}

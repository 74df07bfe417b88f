package relief

import (
	"math"
	"math/bits"
)

// Marks is a set of places in space, of cells, and of layers
// over them. The zero Marks is empty and ready.
type Marks struct {
	tiles map[[2]int32]*marked
	n     int
}

const (
	layer  = 0.5 // mm
	layers = 512 // what is higher or lower counts as in the highest or lowest
	words  = layers / 64
)

// marked is a tile of marks, column the marks over a cell: a bit a layer.
type (
	marked [side * side]column
	column [words]uint64
)

// Len returns the number of marks.
func (m *Marks) Len() int { return m.n }

// Mark adds what lies over the smallest cell (x, y) from lo to hi.
func (m *Marks) Mark(x, y int32, lo, hi float64) {
	k := [2]int32{x >> tileLevels, y >> tileLevels}
	t := m.tiles[k]
	if t == nil {
		if m.tiles == nil {
			m.tiles = map[[2]int32]*marked{}
		}
		t = new(marked)
		m.tiles[k] = t
	}
	c := &t[cellOf(x, y)]
	for w := range c {
		b := stretch(lo, hi, w)
		m.n += bits.OnesCount64(b &^ c[w])
		c[w] |= b
	}
}

func cellOf(x, y int32) int32 { return y&(side-1)*side + x&(side-1) }

// stretch returns the bits of word w for the layers that lo to hi touches.
func stretch(lo, hi float64, w int) uint64 {
	of := func(z float64) int { return int(min(max(math.Floor(z/layer), 0), layers-1)) - 64*w }
	a, b := max(of(lo), 0), min(of(hi), 63)
	if a > b {
		return 0
	}
	return (^uint64(0) << a) & (^uint64(0) >> (63 - b))
}

// Touches reports whether a bead may lie at a marked place.
func (m *Marks) Touches(b *Bead) (yes bool) {
	b.Pieces(func(p *Bead, s Span) bool {
		var bits column
		lo, hi := p.Heights()
		for w := range bits {
			bits[w] = stretch(lo, hi, w)
		}
		for ty := s.Y0 >> tileLevels; ty <= s.Y1>>tileLevels; ty++ {
			for tx := s.X0 >> tileLevels; tx <= s.X1>>tileLevels; tx++ {
				if t := m.tiles[[2]int32{tx, ty}]; t != nil && t.touches(s.within(tx, ty), &bits) {
					yes = true
					return false
				}
			}
		}
		return true
	})
	return yes
}

func (t *marked) touches(s Span, bits *column) bool {
	for y := s.Y0; y <= s.Y1; y++ {
		for x := s.X0; x <= s.X1; x++ {
			c, any := &t[cellOf(x, y)], uint64(0)
			for w := range c {
				any |= c[w] & bits[w]
			}
			if any != 0 {
				return true
			}
		}
	}
	return false
}

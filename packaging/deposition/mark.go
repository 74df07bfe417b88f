package deposition

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mark is a short piece of a laid bead.
type mark struct {
	middle r3.Vec
	normal r3.Vec  // of the shell, upward
	side   r3.Vec  // across the bead, in the shell
	path   float64 // length of the tip's way when it was laid
	width  float64 // by the filament that was pushed
	zone   int32
	next   int32 // in the same cell; -1: the last
}

// apart is from the mark's nearest point to a place. The mark stands for half a
// step of its bead each way.
func (k *mark) apart(p r3.Vec) r3.Vec {
	v := r3.Sub(p, k.middle)
	along := r3.Cross(k.side, k.normal)
	reach := math.Max(-sampleStep/2, math.Min(sampleStep/2, r3.Dot(v, along)))
	return r3.Sub(v, r3.Scale(reach, along))
}

// marks finds laid pieces by place.
type marks struct {
	all   []mark
	cells []int32 // index of the newest mark in each cell; -1: none
	low   r3.Vec
	size  float64
	n     [3]int
}

// newMarks makes room for marks within a box. The size of a cell is the reach of
// every question, so that it meets 27 cells at most.
func newMarks(low, high r3.Vec, reach float64) *marks {
	const mostCells = 1 << 26 // 256 MB
	m := &marks{low: low, size: reach}
	for {
		d := r3.Scale(1/m.size, r3.Sub(high, low))
		m.n = [3]int{int(d.X) + 1, int(d.Y) + 1, int(d.Z) + 1}
		if float64(m.n[0])*float64(m.n[1])*float64(m.n[2]) <= mostCells {
			break
		}
		m.size *= 1.3
	}
	m.cells = make([]int32, m.n[0]*m.n[1]*m.n[2])
	for i := range m.cells {
		m.cells[i] = -1
	}
	return m
}

func (m *marks) cell(v float64, axis int) int {
	return max(0, min(m.n[axis]-1, int(math.Floor(v/m.size))))
}

func (m *marks) add(k mark) {
	d := r3.Sub(k.middle, m.low)
	i := (m.cell(d.Z, 2)*m.n[1]+m.cell(d.Y, 1))*m.n[0] + m.cell(d.X, 0)
	k.next = m.cells[i]
	m.cells[i] = int32(len(m.all))
	m.all = append(m.all, k)
}

// near calls see for every mark in the cells within reach of a place, until see
// says that it is enough.
func (m *marks) near(p r3.Vec, reach float64, see func(*mark) (enough bool)) {
	d := r3.Sub(p, m.low)
	x0, x1 := m.cell(d.X-reach, 0), m.cell(d.X+reach, 0)
	y0, y1 := m.cell(d.Y-reach, 1), m.cell(d.Y+reach, 1)
	z0, z1 := m.cell(d.Z-reach, 2), m.cell(d.Z+reach, 2)
	for z := z0; z <= z1; z++ {
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				for i := m.cells[(z*m.n[1]+y)*m.n[0]+x]; i >= 0; i = m.all[i].next {
					if see(&m.all[i]) {
						return
					}
				}
			}
		}
	}
}

package depth

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cover closes a surface that was laid in only in part: where backs, the facets
// that face away, are nearer than what m holds, one looks into the open. There m
// takes the depth that cover returns for the place on the back.
func (m *Map) Cover(backs *Map, cover func(back r3.Vec) float64) {
	v := &m.view
	m.rows(func(from, to int) {
		for j := from; j < to; j++ {
			for i := range m.width {
				at := j*m.width + i
				d := backs.near[at]
				if d == nothing || d <= m.near[at] {
					continue
				}
				p := r3.Add(r3.Scale(v.Min.X+(float64(i)+0.5)*v.Cell, v.Right), r3.Scale(v.Min.Y+(float64(j)+0.5)*v.Cell, v.Up))
				m.near[at] = max(m.near[at], float32(cover(r3.Add(p, r3.Scale(float64(d), v.Toward)))))
			}
		}
	})
}

// Unite takes from other, a map of the same view, what is nearer.
func (m *Map) Unite(other *Map) {
	for i, d := range other.near {
		m.near[i] = max(m.near[i], d)
	}
}

// Before reports whether nothing in the map is nearer than p; outside the map
// nothing is.
func (m *Map) Before(p r3.Vec) bool {
	x, y, d := m.place(p)
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < 0 || j < 0 || i >= m.width || j >= m.height {
		return true
	}
	return float32(d) >= m.near[j*m.width+i]
}

package job

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// findBelt says of parts on an axis without end that it has to run back for the next
// one: what is printed before may have left the belt by then.
func (r *run) findBelt(m *Model) {
	card := r.setup.Machine.Card
	_, toward, ok := card.Ramp()
	if !ok || !card.Endless() {
		return
	}
	for i := 1; i < len(m.parts); i++ {
		back := m.parts[i-1].begins(toward) - m.parts[i].begins(toward)
		if back > beltBack {
			box := m.parts[i].Mesh.Bounds()
			r.find(Warn, "belt", "", 0, point(box.Min), "the belt runs back %.0f mm for part %s, under what is printed before: name parts in the order in which the belt carries them off", back, r.setup.Parts[i].Name)
		}
	}
}

// beltBack is how far, mm, a belt may run back between two parts without a word: less
// than it does over one shell of a part.
const beltBack = 5.0

// begins returns how far a part reaches against a direction, mm along it.
func (m *Model) begins(toward float64) float64 {
	sin, cos := math.Sincos(toward)
	least := math.Inf(1)
	for _, v := range m.Mesh.Vertices {
		least = math.Min(least, r2.Dot(r2.Vec{X: v.X, Y: v.Y}, r2.Vec{X: cos, Y: sin}))
	}
	return least
}

package madeparts

// Part is a made part with fields that fit it: JSON of a field whose axis is
// the bed's centre (125, 105), for a head of 45 degrees and for a straight one.
type Part struct {
	Name     string
	Mesh     Mesh
	Tilted   string
	Straight string
}

const (
	outward = `{"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}`
	inward  = `{"kind": "cone", "grow": "inward", "angle": 45, "axis": [125, 105]}`
	toward  = `{"kind": "ramp", "angle": 45, "toward": 0}`
	level   = `{"kind": "level"}`
	shallow = `{"kind": "cone", "grow": "outward", "angle": 15, "axis": [125, 105]}`
	hollow  = `{"kind": "cone", "grow": "inward", "angle": 12, "axis": [125, 105]}`
	slanted = `{"kind": "ramp", "angle": 15, "toward": 0}`
)

// Simple lists parts of plain shapes. Lengths are millimetres.
func Simple() []Part {
	p := func(v ...float64) [][2]float64 {
		var points [][2]float64
		for i := 0; i+1 < len(v); i += 2 {
			points = append(points, [2]float64{v[i], v[i+1]})
		}
		return points
	}
	dome := append(p(0, 0), arc(0, 0, 11, 0, 90)...)
	mushroom := append(p(0, 0, 4, 0, 4, 12), arc(0, 12, 12, 0, 90)...)
	bowl := append(arc(0, 14, 14, -60, 0), arc(0, 14, 12, 0, -60)...)
	return []Part{
		{"cylinder", Revolve(p(0, 0, 10, 0, 10, 15, 0, 15)...), outward, level},
		{"roofed cylinder", Revolve(p(0, 0, 12, 0, 12, 10, 0, 22)...), outward, level},
		{"widening cone", Revolve(p(0, 0, 5, 0, 13, 12, 0, 12)...), outward, level},
		{"pointed cone", Revolve(p(0, 0, 12, 0, 0, 18)...), outward, shallow},
		{"shelf", Revolve(p(0, 0, 6, 0, 6, 12, 16, 12, 16, 15, 0, 15)...), outward, shallow},
		{"shelf with a lip", Revolve(p(0, 0, 6, 0, 6, 12, 16, 12, 16, 20, 13.5, 20, 13.5, 15, 0, 15)...), outward, shallow},
		{"shelf inside a tube", Revolve(p(16, 0, 16, 15, 8, 15, 8, 12, 13, 12, 13, 0)...), inward, hollow},
		{"dome", Revolve(dome...), outward, shallow},
		{"mushroom", Revolve(mushroom...), outward, level},
		{"bowl", Revolve(bowl...), outward, level},
		{"funnel", Revolve(p(5, 0, 7, 0, 17, 12, 15, 12, 5, 2)...), outward, shallow},
		{"ring", Revolve(p(10, 0, 16, 0, 16, 8, 10, 8)...), outward, shallow},
		{"box", Box(22, 18, 10), outward, level},
		{"plate", Box(32, 28, 2), outward, level},
		{"tee", Wall(12, p(10, 0, 16, 0, 16, 12, 26, 12, 26, 16, 0, 16, 0, 12, 10, 12)...), outward, shallow},
		{"gable", Wall(20, p(0, 0, 20, 0, 20, 8, 10, 18, 0, 8)...), outward, level},
		{"bracket", Wall(14, p(0, 0, 8, 0, 8, 12, 22, 12, 22, 16, 0, 16)...), toward, slanted},
		{"steps", Wall(18, p(0, 0, 26, 0, 26, 4, 18, 4, 18, 8, 10, 8, 10, 12, 0, 12)...), toward, slanted},
		{"collar", Revolve(p(0, 0, 8, 0, 8, 8, 12, 8, 12, 11, 8, 11, 8, 18, 0, 18)...), outward, shallow},
		{"pocket", Revolve(p(0, 0, 12, 0, 12, 14, 6, 14, 6, 5, 0, 5)...), outward, level},
		{"spool", Revolve(p(0, 0, 12, 0, 12, 3, 6, 3, 6, 12, 12, 12, 12, 15, 0, 15)...), outward, shallow},
	}
}

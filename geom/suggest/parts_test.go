package suggest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// Parts for tests, made by construction.

// box is [x0, x1, y0, y1, z0, z1], mm.
type box [6]float64

// blocks returns the union of boxes less the union of holes: every cell of the
// grid that their faces span is solid or not, and faces between the two are
// the surface. Edges along which cells touch only there must not occur.
func blocks(boxes, holes []box) *mesh.Mesh {
	var at [3][]float64
	for _, b := range append(slices.Clone(boxes), holes...) {
		for k := range 3 {
			at[k] = append(at[k], b[2*k], b[2*k+1])
		}
	}
	for k := range 3 {
		slices.Sort(at[k])
		at[k] = slices.Compact(at[k])
	}
	within := func(list []box, p [3]float64) bool {
		return slices.ContainsFunc(list, func(b box) bool {
			for k := range 3 {
				if p[k] < b[2*k] || p[k] > b[2*k+1] {
					return false
				}
			}
			return true
		})
	}
	solid := func(c [3]int) bool {
		var p [3]float64
		for k := range 3 {
			if c[k] < 0 || c[k] >= len(at[k])-1 {
				return false
			}
			p[k] = (at[k][c[k]] + at[k][c[k]+1]) / 2
		}
		return within(boxes, p) && !within(holes, p)
	}
	m := &mesh.Mesh{}
	index := map[[3]int]int32{}
	vertex := func(c [3]int) int32 {
		v, ok := index[c]
		if !ok {
			v = int32(len(m.Vertices))
			index[c] = v
			m.Vertices = append(m.Vertices, r3.Vec{X: at[0][c[0]], Y: at[1][c[1]], Z: at[2][c[2]]})
		}
		return v
	}
	for x := range len(at[0]) - 1 {
		for y := range len(at[1]) - 1 {
			for z := range len(at[2]) - 1 {
				c := [3]int{x, y, z}
				if !solid(c) {
					continue
				}
				for k := range 3 {
					for side := range 2 {
						next := c
						next[k] += 2*side - 1
						if solid(next) {
							continue
						}
						u, v := (k+1)%3, (k+2)%3
						var q [4]int32
						for i, d := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
							p := c
							p[k] += side
							p[u] += d[0]
							p[v] += d[1]
							q[i] = vertex(p)
						}
						if side == 0 {
							q[1], q[3] = q[3], q[1]
						}
						m.Facets = append(m.Facets, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
					}
				}
			}
		}
	}
	return m
}

// turned is form.Turned for a profile of (r, z).
func turned(n int, profile ...[2]float64) *mesh.Mesh {
	var points []r2.Vec
	for _, p := range profile {
		points = append(points, r2.Vec{X: p[0], Y: p[1]})
	}
	return form.Turned(points, n)
}

// moved returns m shifted in plan.
func moved(m *mesh.Mesh, x, y float64) *mesh.Mesh { return form.Moved(m, r3.Vec{X: x, Y: y}) }

// arc returns points of a circle about (r, z) from one angle to another,
// degrees.
func arc(r, z, radius, from, to float64, steps int) [][2]float64 {
	var out [][2]float64
	for i := range steps + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(steps)) * math.Pi / 180)
		x := r + radius*cos
		if math.Abs(x) < 1e-9 {
			x = 0
		}
		out = append(out, [2]float64{x, z + radius*sin})
	}
	return out
}

func profile(parts ...any) [][2]float64 {
	var out [][2]float64
	for _, p := range parts {
		switch p := p.(type) {
		case [2]float64:
			out = append(out, p)
		case [][2]float64:
			out = append(out, p...)
		}
	}
	return out
}

type rz = [2]float64

// testParts are the parts by name. want says what the first plan must come to
// on a head of tilt 45.
var testParts = []struct {
	name string
	make func() *mesh.Mesh
	none bool // no plan is without mid-air start and 90 % better than level
}{
	{"bollard", func() *mesh.Mesh {
		return turned(64, rz{0, 0}, rz{12, 0}, rz{12, 3}, rz{7, 8}, rz{7, 30}, rz{25, 30}, rz{25, 35}, rz{0, 38})
	}, false},
	{"bollard upside down", func() *mesh.Mesh {
		return turned(64, rz{0, 0}, rz{25, 0}, rz{25, 5}, rz{7, 5}, rz{7, 30}, rz{12, 35}, rz{0, 38})
	}, false},
	{"sphere", func() *mesh.Mesh {
		return turned(96, profile(rz{0, 0}, arc(0, 19.5, 20, -77.16, 90, 60))...)
	}, false},
	{"T", func() *mesh.Mesh {
		return blocks([]box{{-5, 5, -5, 5, 0, 30}, {-25, 25, -5, 5, 30, 36}}, nil)
	}, false},
	{"T across", func() *mesh.Mesh {
		return blocks([]box{{-5, 5, -5, 5, 0, 30}, {-25, 25, -5, 5, 30, 36}, {-6, 6, -20, 20, 20, 24}}, nil)
	}, false},
	{"tube with inner shelf", func() *mesh.Mesh {
		return turned(72, rz{18, 0}, rz{22, 0}, rz{22, 45}, rz{18, 45}, rz{18, 28}, rz{9, 28}, rz{9, 24}, rz{18, 24})
	}, false},
	{"tube with shelf and flange at different heights", func() *mesh.Mesh {
		return turned(72, rz{18, 0}, rz{22, 0}, rz{22, 12}, rz{32, 12}, rz{32, 15}, rz{22, 15}, rz{22, 45},
			rz{18, 45}, rz{18, 28}, rz{9, 28}, rz{9, 24}, rz{18, 24})
	}, false},
	{"tube with shelf and flange at one height", func() *mesh.Mesh {
		return turned(72, rz{18, 0}, rz{22, 0}, rz{22, 24}, rz{32, 24}, rz{32, 28}, rz{22, 28}, rz{22, 45},
			rz{18, 45}, rz{18, 28}, rz{9, 28}, rz{9, 24}, rz{18, 24})
	}, false},
	{"funnel, wide end down", func() *mesh.Mesh {
		return turned(72, rz{30, 0}, rz{33, 0}, rz{10, 16}, rz{10, 34}, rz{8, 34}, rz{8, 14.5})
	}, false},
	{"funnel, wide end up", func() *mesh.Mesh {
		return turned(72, rz{8, 0}, rz{10, 0}, rz{10, 18}, rz{33, 32}, rz{33, 34}, rz{30, 34}, rz{8, 20.5})
	}, false},
	{"hourglass", func() *mesh.Mesh {
		return turned(72, rz{30, 0}, rz{33, 0}, rz{10, 16}, rz{10, 34}, rz{33, 50}, rz{30, 50}, rz{8, 35}, rz{8, 14.5})
	}, false},
	{"mushroom on a tube", func() *mesh.Mesh {
		return turned(72, rz{10, 0}, rz{12, 0}, rz{12, 30}, rz{25, 30}, rz{25, 34}, rz{0, 34}, rz{0, 30}, rz{10, 30})
	}, false},
	{"posts joined by a beam", func() *mesh.Mesh {
		return blocks([]box{{-30, -20, -5, 5, 0, 30}, {20, 30, -5, 5, 0, 30}, {-30, 30, -5, 5, 30, 36}}, nil)
	}, false},
	{"posts joined by a wide beam", func() *mesh.Mesh {
		return blocks([]box{{-30, -20, -5, 5, 0, 30}, {20, 30, -5, 5, 0, 30}, {-36, 36, -9, 9, 30, 36}}, nil)
	}, false},
	{"three posts and a plate", func() *mesh.Mesh {
		return blocks([]box{{-30, -20, -25, -15, 0, 30}, {20, 30, -25, -15, 0, 30}, {-5, 5, 15, 25, 0, 30}, {-36, 36, -30, 30, 30, 34}}, nil)
	}, false},
	{"ladder", func() *mesh.Mesh {
		return blocks([]box{{-30, -22, -4, 4, 0, 60}, {22, 30, -4, 4, 0, 60},
			{-22, 22, -4, 4, 10, 14}, {-22, 22, -4, 4, 25, 29}, {-22, 22, -4, 4, 40, 44}}, nil)
	}, false},
	{"one arm off centre", func() *mesh.Mesh {
		return blocks([]box{{-20, 20, -20, 20, 0, 4}, {-16, -8, -4, 4, 4, 40}, {-8, 20, -3, 3, 34, 40}}, nil)
	}, false},
	{"arms at two heights on two posts", func() *mesh.Mesh {
		return blocks([]box{{-30, 30, -10, 10, 0, 4}, {-26, -18, -4, 4, 4, 50}, {18, 26, -4, 4, 4, 50},
			{-18, 2, -3, 3, 20, 25}, {-2, 18, -3, 3, 40, 45}}, nil)
	}, false},
	{"Z", func() *mesh.Mesh {
		return blocks([]box{{-4, 4, -4, 4, 0, 20}, {-4, 40, -4, 4, 20, 26}, {32, 40, -4, 4, 26, 46}, {-10, 40, -4, 4, 46, 52}}, nil)
	}, false},
	{"two bollards on a plate", func() *mesh.Mesh {
		post := func() *mesh.Mesh {
			return turned(48, rz{0, 0}, rz{6, 0}, rz{6, 25}, rz{14, 25}, rz{14, 29}, rz{0, 29})
		}
		return form.Joined(moved(post(), -40, 0), moved(post(), 40, 0))
	}, false},
	{"portal on two wide capitals", func() *mesh.Mesh {
		return blocks([]box{{-45, -35, -5, 5, 0, 40}, {35, 45, -5, 5, 0, 40}, {-52, -28, -10, 10, 20, 24}, {28, 52, -10, 10, 20, 24},
			{-45, 45, -5, 5, 40, 46}}, nil)
	}, false},
	{"box with a ceiling", func() *mesh.Mesh {
		return blocks([]box{{-25, 25, -20, 20, 0, 30}}, []box{{-22, 22, -17, 17, 0, 27}})
	}, false},
	{"house with windows", func() *mesh.Mesh {
		return blocks([]box{{-25, 25, -20, 20, 0, 40}}, []box{{-22, 22, -17, 17, 3, 40}, {-10, 10, -20, -17, 10, 30}, {-25, -22, -8, 8, 10, 30}})
	}, false},
	{"table", func() *mesh.Mesh {
		return blocks([]box{{-25, -19, -15, -9, 0, 30}, {19, 25, -15, -9, 0, 30}, {-25, -19, 9, 15, 0, 30}, {19, 25, 9, 15, 0, 30},
			{-30, 30, -20, 20, 30, 33}}, nil)
	}, false},
	{"mushroom with a hanging rim", func() *mesh.Mesh {
		return turned(64, rz{0, 0}, rz{7, 0}, rz{7, 30}, rz{22, 30}, rz{22, 22}, rz{25, 22}, rz{25, 35}, rz{0, 35})
	}, true},
	{"plain block", func() *mesh.Mesh { return blocks([]box{{-10, 10, -10, 10, 0, 15}}, nil) }, false},
	{"cone of arms", func() *mesh.Mesh {
		return blocks([]box{{-5, 5, -5, 5, 0, 60}, {5, 25, -4, 4, 20, 24}, {-25, -5, -4, 4, 30, 34}, {-4, 4, 5, 25, 40, 44}, {-4, 4, -25, -5, 50, 54}}, nil)
	}, false},
	{"overlapping bodies", func() *mesh.Mesh {
		return form.Joined(
			blocks([]box{{-5, 5, -5, 5, 0, 36}}, nil),
			blocks([]box{{-3, 30, -4, 4, 28, 34}}, nil))
	}, false},
	{"cross of walls with shelves both sides", func() *mesh.Mesh {
		return blocks([]box{{-40, 40, -2, 2, 0, 40}, {-40, 40, -12, 12, 25, 28}}, nil)
	}, false},
	{"comb", func() *mesh.Mesh {
		return blocks([]box{{-3, 3, -15, 15, 0, 50}, {3, 20, -15, 15, 10, 13}, {3, 20, -15, 15, 22, 25}, {-20, -3, -15, 15, 34, 37}, {-20, 20, -15, 15, 47, 50}}, nil)
	}, false},
}

package job

import (
	"math"
	"sort"

	clipper "github.com/ctessum/go.clipper"
	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/mesh"
)

func moved(ps [][]r2.Vec, d r2.Vec) [][]r2.Vec {
	for _, p := range ps {
		for i := range p {
			p[i] = r2.Add(p[i], d)
		}
	}
	return ps
}

func outermost(ps [][]r2.Vec) [][]r2.Vec {
	var out [][]r2.Vec
	for _, p := range ps {
		if area(p) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// linkedCuts links the cuts of all facets at a height into closed polygons, the
// solid on their left.
func linkedCuts(m *mesh.Mesh, z float64) [][]r2.Vec {
	type spot [2]int64
	next := map[spot][]r2.Vec{}
	at := func(v r2.Vec) spot { return spot{int64(math.Round(v.X * 2e4)), int64(math.Round(v.Y * 2e4))} }
	var starts []r2.Vec
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		var down, up r2.Vec
		n := 0
		for _, e := range [3][2]int{{0, 1}, {1, 2}, {2, 0}} {
			p, q := [3]struct{ X, Y, Z float64 }{{a.X, a.Y, a.Z}, {b.X, b.Y, b.Z}, {c.X, c.Y, c.Z}}[e[0]], [3]struct{ X, Y, Z float64 }{{a.X, a.Y, a.Z}, {b.X, b.Y, b.Z}, {c.X, c.Y, c.Z}}[e[1]]
			if (p.Z < z) == (q.Z < z) {
				continue
			}
			lo, hi := p, q
			if lo.Z > hi.Z {
				lo, hi = hi, lo
			}
			t := (z - lo.Z) / (hi.Z - lo.Z)
			v := r2.Vec{X: lo.X + t*(hi.X-lo.X), Y: lo.Y + t*(hi.Y-lo.Y)}
			if p.Z < z {
				up = v
			} else {
				down = v
			}
			n++
		}
		if n == 2 && at(down) != at(up) {
			next[at(down)] = append(next[at(down)], up)
			starts = append(starts, down)
		}
	}
	var out [][]r2.Vec
	for _, s := range starts {
		var p []r2.Vec
		for v := s; ; {
			k := at(v)
			to := next[k]
			if len(to) == 0 {
				break
			}
			next[k] = to[1:]
			if len(p) == 0 || r2.Norm(r2.Sub(v, p[len(p)-1])) > 0.02 {
				p = append(p, v)
			}
			v = to[0]
		}
		if len(p) > 2 {
			out = append(out, p)
		}
	}
	return out
}

// offset grows polygons by d, or shrinks them.
func offset(ps [][]r2.Vec, d float64) [][]r2.Vec {
	const unit = 1e4
	co := clipper.NewClipperOffset()
	co.ArcTolerance = 50
	var in clipper.Paths
	for _, p := range ps {
		var q clipper.Path
		for _, v := range p {
			q = append(q, &clipper.IntPoint{X: clipper.CInt(math.Round(v.X * unit)), Y: clipper.CInt(math.Round(v.Y * unit))})
		}
		in = append(in, q)
	}
	if len(in) == 0 {
		return nil
	}
	co.AddPaths(in, clipper.JtMiter, clipper.EtClosedPolygon)
	var out [][]r2.Vec
	for _, q := range co.Execute(d * unit) {
		var p []r2.Vec
		for _, v := range q {
			p = append(p, r2.Vec{X: float64(v.X) / unit, Y: float64(v.Y) / unit})
		}
		if len(p) > 2 {
			out = append(out, p)
		}
	}
	return out
}

// hatch fills polygons with straight lines, there and back.
func hatch(ps [][]r2.Vec, pitch float64, across bool) [][2]r2.Vec {
	turn := func(v r2.Vec) r2.Vec {
		if across {
			return r2.Vec{X: v.Y, Y: v.X}
		}
		return v
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		for _, v := range p {
			lo, hi = math.Min(lo, turn(v).Y), math.Max(hi, turn(v).Y)
		}
	}
	var out [][2]r2.Vec
	back := false
	for y := math.Ceil(lo/pitch)*pitch + 1e-4; y < hi; y += pitch {
		var xs []float64
		for _, p := range ps {
			for i := range p {
				a, b := turn(p[i]), turn(p[(i+1)%len(p)])
				if (a.Y < y) != (b.Y < y) {
					xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		sort.Float64s(xs)
		row := len(out)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > 0.4 {
				out = append(out, [2]r2.Vec{turn(r2.Vec{X: xs[i], Y: y}), turn(r2.Vec{X: xs[i+1], Y: y})})
			}
		}
		if back {
			for i, j := row, len(out)-1; i < j; i, j = i+1, j-1 {
				out[i], out[j] = out[j], out[i]
			}
			for i := row; i < len(out); i++ {
				out[i][0], out[i][1] = out[i][1], out[i][0]
			}
		}
		back = !back
	}
	return out
}

package zone

import (
	"cmp"
	"math"
	"slices"

	"github.com/oliverbestmann/earcut-go"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// fillLoops triangulates what the loops enclose: counter-clockwise loops are
// outlines, clockwise ones holes in them, seen against p's unit normal. Every
// directed edge of the loops is an edge of the result, whatever the shape:
// cuts stay closed.
func fillLoops(loops [][]int32, vertices []r3.Vec, p Plane) [][3]int32 {
	f := newFiller(loops, vertices, p)
	var out [][3]int32
	for _, poly := range f.polygons() {
		tris := f.triangulate(poly)
		tris = f.mend(poly, tris)
		out = append(out, tris...)
	}
	return out
}

// polygon is an outline and its holes. A turned polygon has no outline round
// it (the mesh is inside out there); its facets are turned.
type polygon struct {
	outline []int32
	holes   [][]int32
	area    float64 // of the outline less the holes
	turned  bool
}

type filler struct {
	loops [][]int32
	at    map[int32]r2.Vec
	areas []float64
	boxes []r2.Box
}

func newFiller(loops [][]int32, vertices []r3.Vec, p Plane) *filler {
	f := &filler{loops: loops, at: map[int32]r2.Vec{}}
	u, v := p.axes()
	for _, loop := range loops {
		box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
		for _, i := range loop {
			d := r3.Sub(vertices[i], p.Point)
			q := r2.Vec{X: r3.Dot(u, d), Y: r3.Dot(v, d)}
			f.at[i] = q
			box.Min = r2.Vec{X: math.Min(box.Min.X, q.X), Y: math.Min(box.Min.Y, q.Y)}
			box.Max = r2.Vec{X: math.Max(box.Max.X, q.X), Y: math.Max(box.Max.Y, q.Y)}
		}
		f.boxes = append(f.boxes, box)
		f.areas = append(f.areas, f.area(loop))
	}
	return f
}

// area returns the signed area of a loop, positive counter-clockwise.
func (f *filler) area(loop []int32) float64 {
	sum, o := 0.0, f.at[loop[0]]
	for i := 1; i+1 < len(loop); i++ {
		sum += r2.Cross(r2.Sub(f.at[loop[i]], o), r2.Sub(f.at[loop[i+1]], o))
	}
	return sum / 2
}

// polygons gives each hole to the smallest outline round it.
func (f *filler) polygons() []*polygon {
	owner := map[int]*polygon{}
	var all []*polygon
	var outlines []int
	for i, loop := range f.loops {
		if f.areas[i] >= 0 {
			owner[i] = &polygon{outline: loop, area: f.areas[i]}
			all = append(all, owner[i])
			outlines = append(outlines, i)
		}
	}
	slices.SortStableFunc(outlines, func(a, b int) int { return cmp.Compare(f.areas[a], f.areas[b]) })
	for i, loop := range f.loops {
		if f.areas[i] >= 0 {
			continue
		}
		var home *polygon
		for _, o := range outlines {
			if f.areas[o] >= -f.areas[i] && f.encloses(o, i) {
				home = owner[o]
				break
			}
		}
		if home == nil {
			back := slices.Clone(loop)
			slices.Reverse(back)
			all = append(all, &polygon{outline: back, area: -f.areas[i], turned: true})
			continue
		}
		home.holes = append(home.holes, loop)
		home.area += f.areas[i]
	}
	return all
}

// encloses reports whether loop o goes round loop i. Loops may touch in
// vertices; those don't count, and of the others most must be inside.
func (f *filler) encloses(o, i int) bool {
	bo, bi := f.boxes[o], f.boxes[i]
	if bi.Min.X < bo.Min.X || bi.Min.Y < bo.Min.Y || bi.Max.X > bo.Max.X || bi.Max.Y > bo.Max.Y {
		return false
	}
	const enough = 5 // votes: a single vertex may lie on o within rounding
	votes, cast := 0, 0
	for k, v := range f.loops[i] {
		w := f.loops[i][(k+1)%len(f.loops[i])]
		q := r2.Scale(0.5, r2.Add(f.at[v], f.at[w]))
		if f.inside(q, f.loops[o]) {
			votes++
		}
		if cast++; cast == enough {
			break
		}
	}
	return 2*votes > cast
}

// inside is the even-odd rule.
func (f *filler) inside(q r2.Vec, loop []int32) bool {
	in := false
	a := f.at[loop[len(loop)-1]]
	for _, i := range loop {
		b := f.at[i]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
		a = b
	}
	return in
}

// turns are the angles by which a polygon is turned before ear clipping is
// tried again: what fails is a matter of rounding and of points in one line
// with the axes.
var turns = [...]float64{0, 0.7, 1.9, 2.6}

// areaTol is the relative error of area by which a triangulation counts as
// failed: rounding gives 1e-12, a lost ear far more.
const areaTol = 1e-9

// triangulate returns the triangles of the best of some attempts.
func (f *filler) triangulate(p *polygon) [][3]int32 {
	var best [][3]int32
	least := math.Inf(1)
	for _, angle := range turns {
		tris := f.ears(p, angle)
		sum := 0.0
		for _, t := range tris {
			sum += math.Abs(f.area(t[:]))
		}
		if off := math.Abs(sum - p.area); off < least {
			best, least = tris, off
		}
		if least <= areaTol*p.area {
			break
		}
	}
	return best
}

// ears clips ears after turning the polygon by an angle.
func (f *filler) ears(p *polygon, angle float64) [][3]int32 {
	sin, cos := math.Sincos(angle)
	var order []int32
	points := func(loop []int32) []earcut.Point[float64] {
		out := make([]earcut.Point[float64], len(loop))
		for i, v := range loop {
			q := f.at[v]
			out[i] = earcut.Point[float64]{X: q.X*cos - q.Y*sin, Y: q.X*sin + q.Y*cos}
		}
		order = append(order, loop...)
		return out
	}
	outline := points(p.outline)
	var holes [][]earcut.Point[float64]
	for _, h := range p.holes {
		holes = append(holes, points(h))
	}
	_, index := earcut.Triangulate(outline, holes)
	tris := make([][3]int32, 0, len(index)/3)
	for i := 0; i+2 < len(index); i += 3 {
		t := [3]int32{order[index[i]], order[index[i+1]], order[index[i+2]]}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			tris = append(tris, t)
		}
	}
	return tris
}

package overhang

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// rows are the beads that run over a patch in one direction, side by side.
type rows struct {
	dir   r2.Vec
	low   float64 // across dir, of the first row's side
	width float64 // of a row
	beads [][]bead
}

// bead is a stretch within the patch, from and to along the direction.
type bead struct {
	from, to float64
	held     bool // at both ends
}

const (
	// leastGap is a gap between polygons, mm, that is only rounding.
	leastGap = 0.01
	maxRows  = 1000
)

// newRows lays beads over a patch, width mm apart if that isn't too many.
func (h *holds) newRows(polygons []Piece, dir r2.Vec, width float64) rows {
	r := rows{dir: dir, low: math.Inf(1)}
	high := math.Inf(-1)
	for _, p := range polygons {
		lo, hi := r.across(p.Corners)
		r.low, high = math.Min(r.low, lo), math.Max(high, hi)
	}
	n := int(math.Max(1, math.Min(maxRows, math.Ceil((high-r.low)/width))))
	r.width = math.Max((high-r.low)/float64(n), 1e-6)
	r.beads = make([][]bead, n)
	crossed := make([][][2]place, n)
	for _, p := range polygons {
		lo, hi := r.across(p.Corners)
		for k := r.row(lo); k <= r.row(hi); k++ {
			if a, b, ok := r.crossing(p.Corners, r.low+(float64(k)+0.5)*r.width); ok {
				crossed[k] = append(crossed[k], [2]place{a, b})
			}
		}
	}
	for k, all := range crossed {
		r.beads[k] = h.beads(all, dir)
	}
	return r
}

// place is an end of a bead: how far along the direction, and where.
type place struct {
	t  float64
	at r3.Vec
}

// beads joins stretches that touch.
func (h *holds) beads(all [][2]place, dir r2.Vec) []bead {
	slices.SortFunc(all, func(x, y [2]place) int { return cmp.Or(cmp.Compare(x[0].t, y[0].t), cmp.Compare(x[1].t, y[1].t)) })
	var out []bead
	for i := 0; i < len(all); {
		a, b := all[i][0], all[i][1]
		for i++; i < len(all) && all[i][0].t <= b.t+leastGap; i++ {
			if all[i][1].t > b.t {
				b = all[i][1]
			}
		}
		held := b.t > a.t && h.at(a.at, r2.Scale(-1, dir)) && h.at(b.at, dir)
		out = append(out, bead{a.t, b.t, held})
	}
	return out
}

// span returns the length of the bead over p, 0 if there is none that is held.
func (r *rows) span(p r2.Vec) float64 {
	here := r2.Dot(r.dir, p)
	for _, b := range r.beads[r.row(r.dir.X*p.Y-r.dir.Y*p.X)] {
		if b.from-r.width <= here && here <= b.to+r.width {
			if b.held {
				return b.to - b.from
			}
			return 0
		}
	}
	return 0
}

func (r *rows) row(across float64) int {
	return int(math.Max(0, math.Min((across-r.low)/r.width, float64(len(r.beads)-1))))
}

func (r *rows) side(p r3.Vec) float64 { return r.dir.X*p.Y - r.dir.Y*p.X }

func (r *rows) across(corners []r3.Vec) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range corners {
		s := r.side(c)
		lo, hi = math.Min(lo, s), math.Max(hi, s)
	}
	return lo, hi
}

// crossing returns where a line enters and leaves a polygon.
func (r *rows) crossing(corners []r3.Vec, line float64) (lo, hi place, ok bool) {
	lo.t, hi.t = math.Inf(1), math.Inf(-1)
	p := corners[len(corners)-1]
	sp := r.side(p) - line
	for _, q := range corners {
		sq := r.side(q) - line
		if (sp < 0) != (sq < 0) {
			at := r3.Add(p, r3.Scale(sp/(sp-sq), r3.Sub(q, p)))
			t := r.dir.X*at.X + r.dir.Y*at.Y
			if t < lo.t {
				lo = place{t, at}
			}
			if t > hi.t {
				hi = place{t, at}
			}
		}
		p, sp = q, sq
	}
	return lo, hi, lo.t <= hi.t
}

// plumb tells what lies below a place: the facets of a mesh by the cells of a
// grid in plan.
type plumb struct {
	mesh   *mesh.Mesh
	min    r2.Vec
	cell   float64
	nx, ny int
	in     [][]int32
}

func newPlumb(m *mesh.Mesh) *plumb { return newGrid(m, false) }

// newGrid is newPlumb, on wish with upright facets too, which no line meets but
// in their edges.
func newGrid(m *mesh.Mesh, upright bool) *plumb {
	box := m.Bounds()
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	g := &plumb{mesh: m, min: r2.Vec{X: box.Min.X, Y: box.Min.Y}, cell: math.Max(size/150, 0.1)}
	g.nx, g.ny = 1+int((box.Max.X-box.Min.X)/g.cell), 1+int((box.Max.Y-box.Min.Y)/g.cell)
	g.in = make([][]int32, g.nx*g.ny)
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		if !upright && r2.Cross(r2.Vec{X: b.X - a.X, Y: b.Y - a.Y}, r2.Vec{X: c.X - a.X, Y: c.Y - a.Y}) == 0 {
			continue
		}
		x0, y0 := g.at(min(a.X, b.X, c.X), min(a.Y, b.Y, c.Y))
		x1, y1 := g.at(max(a.X, b.X, c.X), max(a.Y, b.Y, c.Y))
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				g.in[y*g.nx+x] = append(g.in[y*g.nx+x], int32(i))
			}
		}
	}
	return g
}

func (g *plumb) at(x, y float64) (int, int) {
	i, j := int((x-g.min.X)/g.cell), int((y-g.min.Y)/g.cell)
	return max(0, min(i, g.nx-1)), max(0, min(j, g.ny-1))
}

// solid reports whether the mesh is solid at p and height z: an upright line from
// below has entered it more often than left it.
func (g *plumb) solid(p r2.Vec, z float64) bool {
	const aside = 1e-6 // mm: so that the line doesn't run through vertices and edges of a round grid
	p = r2.Vec{X: p.X + 0.83*aside, Y: p.Y + 0.47*aside}
	x, y := g.at(p.X, p.Y)
	winding := 0
	for _, i := range g.in[y*g.nx+x] {
		a, b, c := g.mesh.Corners(int(i))
		u, v, w := turnOf(b, c, p), turnOf(c, a, p), turnOf(a, b, p)
		up := u > 0 && v > 0 && w > 0
		if !up && !(u < 0 && v < 0 && w < 0) || (u*a.Z+v*b.Z+w*c.Z)/(u+v+w) >= z {
			continue
		}
		if up {
			winding--
		} else {
			winding++
		}
	}
	return winding > 0
}

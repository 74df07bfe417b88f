package mesh

import (
	"math"
	"slices"

	"github.com/oliverbestmann/earcut-go"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	smallHole = 0.25   // greatest size of a bent hole, as a share of the part's
	flatHole  = 1e-3   // greatest depth of a flat hole, as a share of its own size
	maxHole   = 20_000 // edges
)

// closeHoles closes holes of which the filling is hardly in doubt: one or two
// missing facets, flat holes of any size, other holes up to a quarter of the
// part's size. It returns m itself where there is none.
func (m *Mesh) closeHoles(did *Mending) *Mesh {
	adj := m.Adjacent()
	c := closer{rim: m.rim(adj), bodies: m.bodies(adj), areas: map[int32]float64{}, size: m.size(), mesh: &Mesh{
		Vertices: slices.Clone(m.Vertices), Facets: slices.Clone(m.Facets), Origins: slices.Clone(m.Origins)}}
	for _, hole := range m.holes(adj) {
		if n := c.close(hole); n > 0 {
			did.Holes++
			did.Filled += n
		}
	}
	if did.Holes == 0 {
		return m
	}
	return c.mesh
}

// hole is a loop of vertices; facets that close it run along it this way.
type hole struct {
	loop []int32
	body int32 // to which it belongs
}

// holes follows the open edges round. Where several holes meet at a vertex, a
// walk that comes back to a vertex has closed one.
func (m *Mesh) holes(adj *Adjacency) []hole {
	ways := map[int32][]int32{} // vertex -> open half-edges that end there, which a filling runs from
	var starts []int32
	for h, g := range adj.Twin {
		if g == Open {
			_, v := m.Ends(int32(h))
			ways[v] = append(ways[v], int32(h))
			starts = append(starts, v)
		}
	}
	of := m.bodies(adj).of
	var holes []hole
	for _, s := range starts {
		path, at := []int32{s}, map[int32]int{s: 0}
		for {
			v := path[len(path)-1]
			w := ways[v]
			if len(w) == 0 {
				break
			}
			h := w[len(w)-1]
			ways[v] = w[:len(w)-1]
			next, _ := m.Ends(h)
			if k, seen := at[next]; seen {
				holes = append(holes, hole{loop: slices.Clone(path[k:]), body: of[h/3]})
				for _, u := range path[k+1:] {
					delete(at, u)
				}
				path = path[:k+1]
				continue
			}
			at[next] = len(path)
			path = append(path, next)
		}
	}
	return holes
}

// closer adds the facets that close holes to its own mesh.
type closer struct {
	mesh   *Mesh
	rim    rim
	bodies *bodies
	areas  map[int32]float64 // of bodies
	size   float64
}

// close returns how many facets it added: none if the hole is left open.
func (c *closer) close(h hole) int {
	n := len(h.loop)
	if n < 3 || n > maxHole {
		return 0
	}
	normal, area := c.areaNormal(h.loop)
	extent, depth := c.extent(h.loop, normal)
	if n > 4 && depth > flatHole*extent && extent > smallHole*c.size {
		return 0
	}
	// A flat sheet that ends at the loop encloses nothing: closing it would
	// only lay a second sheet on the first.
	if area > 0 && c.bodyArea(h.body) <= area*(1+1e-9) {
		return 0
	}
	facets := c.fill(h.loop, normal)
	c.mesh.Facets = append(c.mesh.Facets, facets...)
	if c.mesh.Origins != nil {
		c.mesh.Origins = append(c.mesh.Origins, make([]Origin, len(facets))...)
	}
	return len(facets)
}

func (b *bodies) area(i int32) float64 {
	sum := 0.0
	for _, f := range b.list[i].facets {
		p, q, r := b.mesh.Corners(int(f))
		sum += r3.Norm(r3.Cross(r3.Sub(q, p), r3.Sub(r, p))) / 2
	}
	return sum
}

// bodyArea is area, measured once a body.
func (c *closer) bodyArea(i int32) float64 {
	a, known := c.areas[i]
	if !known {
		a = c.bodies.area(i)
		c.areas[i] = a
	}
	return a
}

// areaNormal returns the unit normal of the loop's mean plane (Newell), zero
// for a loop without area, and the area it encloses.
func (c *closer) areaNormal(loop []int32) (normal r3.Vec, area float64) {
	v := c.mesh.Vertices
	o := v[loop[0]]
	for i := 1; i+1 < len(loop); i++ {
		normal = r3.Add(normal, r3.Cross(r3.Sub(v[loop[i]], o), r3.Sub(v[loop[i+1]], o)))
	}
	length := r3.Norm(normal)
	if length == 0 {
		return r3.Vec{}, 0
	}
	return r3.Scale(1/length, normal), length / 2
}

// extent returns the loop's greatest dimension and its depth along normal.
func (c *closer) extent(loop []int32, normal r3.Vec) (extent, depth float64) {
	first := c.mesh.Vertices[loop[0]]
	box := r3.Box{Min: first, Max: first}
	low, high := math.Inf(1), math.Inf(-1)
	for _, i := range loop {
		v := c.mesh.Vertices[i]
		box = grown(box, v)
		d := r3.Dot(normal, v)
		low, high = min(low, d), max(high, d)
	}
	return r3.Norm(r3.Sub(box.Max, box.Min)), high - low
}

// fill triangulates the loop. Every edge of the loop gets exactly one facet
// and no edge between its vertices is used that the mesh has already: by ears,
// else by a fan from an end of the longest edge (which suits a long edge beside
// a row of short ones), else round a new vertex in the middle.
func (c *closer) fill(loop []int32, normal r3.Vec) [][3]int32 {
	for _, facets := range [][][3]int32{c.ears(loop, normal), c.fan(loop)} {
		if len(facets) == len(loop)-2 && c.fits(loop, facets) {
			return facets
		}
	}
	middle := r3.Vec{}
	for _, i := range loop {
		middle = r3.Add(middle, r3.Scale(1/float64(len(loop)), c.mesh.Vertices[i]))
	}
	hub := int32(len(c.mesh.Vertices))
	c.mesh.Vertices = append(c.mesh.Vertices, middle)
	var facets [][3]int32
	for i, v := range loop {
		facets = append(facets, [3]int32{v, loop[(i+1)%len(loop)], hub})
	}
	return facets
}

func (c *closer) ears(loop []int32, normal r3.Vec) [][3]int32 {
	if normal == (r3.Vec{}) {
		return nil
	}
	u, v := across(normal)
	points := make([]earcut.Point[float64], len(loop))
	for i, k := range loop {
		p := r2.Vec{X: r3.Dot(u, c.mesh.Vertices[k]), Y: r3.Dot(v, c.mesh.Vertices[k])}
		points[i] = earcut.Point[float64]{X: p.X, Y: p.Y}
	}
	_, indices := earcut.Triangulate(points, nil)
	var facets [][3]int32
	for i := 0; i+2 < len(indices); i += 3 {
		a, b, d := points[indices[i]], points[indices[i+1]], points[indices[i+2]]
		f := [3]int32{loop[indices[i]], loop[indices[i+1]], loop[indices[i+2]]}
		if (b.X-a.X)*(d.Y-a.Y) < (b.Y-a.Y)*(d.X-a.X) {
			f[1], f[2] = f[2], f[1]
		}
		facets = append(facets, f)
	}
	return facets
}

// across returns two unit vectors that make a right-handed frame with normal.
func across(normal r3.Vec) (u, v r3.Vec) {
	side := r3.Vec{X: 1}
	if math.Abs(normal.X) > 0.6 {
		side = r3.Vec{Y: 1}
	}
	u = r3.Unit(r3.Cross(side, normal))
	return u, r3.Cross(normal, u)
}

func (c *closer) fan(loop []int32) [][3]int32 {
	n, at, longest := len(loop), 0, -1.0
	for i, k := range loop {
		if d := r3.Norm2(r3.Sub(c.mesh.Vertices[loop[(i+1)%n]], c.mesh.Vertices[k])); d > longest {
			at, longest = i, d
		}
	}
	var facets [][3]int32
	for i := 1; i+1 < n; i++ {
		facets = append(facets, [3]int32{loop[at], loop[(at+i)%n], loop[(at+i+1)%n]})
	}
	return facets
}

// fits reports that the facets' own edges are those of the loop, each once,
// and others that the mesh hasn't, each once either way; it then notes them.
func (c *closer) fits(loop []int32, facets [][3]int32) bool {
	once := map[[2]int32]bool{}
	for _, f := range facets {
		for k := range 3 {
			e := [2]int32{f[k], f[(k+1)%3]}
			if e[0] == e[1] || once[e] {
				return false
			}
			once[e] = true
		}
	}
	for i, v := range loop {
		e := [2]int32{v, loop[(i+1)%len(loop)]}
		if !once[e] {
			return false
		}
		delete(once, e)
	}
	for e := range once {
		if !once[[2]int32{e[1], e[0]}] || c.rim.joined(e[0], e[1]) {
			return false
		}
	}
	for e := range once {
		c.rim.edges[[2]int32{min(e[0], e[1]), max(e[0], e[1])}] = true
	}
	return true
}

package polygon

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	rasterInside = 1500   // cells in a region: a dozen across a wall ten times as long as wide
	rasterMost   = 60_000 // cells of its grid
	// keepsMiddle makes a way along the middle of a wall cheaper than one near its sides.
	keepsMiddle = 3.0
	// chordReach is how far a side of a wall may be from its middle, in halves of its
	// width, for the middle to be taken between two sides: at a junction there is none.
	chordReach = 2.0
	// middleTol is how far the line may stray from the middle, as a share of half the
	// width.
	middleTol = 0.08
)

// MedialLine returns a line through the middle of a region without holes, from one
// end to the other: of a wall, of one that bends, or of the longest way through one
// that branches. It runs on to the outline at both ends. width is the region's usual
// width across the line, mm. The line is nil where no way is found.
func MedialLine(r Region) (line []r2.Vec, width float64) {
	if len(r) == 0 || !(r.Area() > 0) {
		return nil, 0
	}
	g := newRaster(r, rasterInside, rasterMost)
	way := g.longestWay()
	if len(way) < 2 {
		return nil, 0
	}
	path, half := g.trimmed(way)
	line = SimplifyPath(r.centred(path, half), math.Max(middleTol*half, 1e-3))
	if len(line) < 2 {
		return nil, 0
	}
	slices.Reverse(line)
	line = r.runOn(line, 3*half)
	slices.Reverse(line)
	return r.runOn(line, 3*half), 2 * half
}

// longestWay returns the cells of a way between two cells that lie farthest apart,
// along the middle.
func (g *raster) longestWay() []int {
	deepest := 0
	for i, d := range g.depth {
		if d > g.depth[deepest] {
			deepest = i
		}
	}
	if g.depth[deepest] == 0 {
		return nil
	}
	even := func(int) float64 { return 1 }
	_, a := g.ways(deepest, even)
	_, b := g.ways(a, even)
	most := g.depth[deepest]
	from, _ := g.ways(a, func(i int) float64 { return math.Pow(most/g.depth[i], keepsMiddle) })
	var way []int
	for i := b; i >= 0; i = int(from[i]) {
		way = append(way, i)
	}
	return way
}

// trimmed returns the places of a way without its ends, which run into corners, and
// half the width about it, mm.
func (g *raster) trimmed(way []int) (path []r2.Vec, half float64) {
	depths := make([]float64, len(way))
	for i, k := range way {
		depths[i] = g.depth[k]
	}
	slices.Sort(depths)
	usual := depths[len(depths)/2]
	for len(way) > 2 && g.depth[way[0]] < 0.8*usual {
		way = way[1:]
	}
	for len(way) > 2 && g.depth[way[len(way)-1]] < 0.8*usual {
		way = way[:len(way)-1]
	}
	for _, k := range way {
		path = append(path, g.middle(k))
	}
	return path, (usual - 0.5) * g.cell // the outermost cells' middles are half a cell inside
}

// centred moves places of a way into the middle between the two sides there; where
// there are no two sides close by, at ends and junctions, places are left out.
func (r Region) centred(way []r2.Vec, half float64) []r2.Vec {
	var out []r2.Vec
	reach := 1 + len(way)/40
	for i := range way {
		a, b := way[max(0, i-reach)], way[min(len(way)-1, i+reach)]
		along := r2.Sub(b, a)
		if r2.Norm(along) == 0 {
			continue
		}
		across := r2.Unit(r2.Vec{X: -along.Y, Y: along.X})
		left, right := r.edgeFrom(way[i], across), r.edgeFrom(way[i], r2.Scale(-1, across))
		if math.Max(left, right) > chordReach*half {
			continue
		}
		out = append(out, r2.Add(way[i], r2.Scale((left-right)/2, across)))
	}
	if len(out) < 2 {
		return way
	}
	return out
}

// edgeFrom returns how far from p, in a direction, the outline is; infinite where
// there is none.
func (r Region) edgeFrom(p, dir r2.Vec) float64 {
	least := math.Inf(1)
	for _, c := range r {
		a := c[len(c)-1]
		for _, b := range c {
			sa, sb := r2.Cross(dir, r2.Sub(a, p)), r2.Cross(dir, r2.Sub(b, p))
			if (sa < 0) != (sb < 0) {
				q := r2.Add(a, r2.Scale(sa/(sa-sb), r2.Sub(b, a)))
				if t := r2.Dot(dir, r2.Sub(q, p)); t > 0 {
					least = math.Min(least, t)
				}
			}
			a = b
		}
	}
	return least
}

// runOn moves the line's last point on to the outline, where that is near.
func (r Region) runOn(line []r2.Vec, near float64) []r2.Vec {
	end, before := line[len(line)-1], line[len(line)-2]
	dir := r2.Unit(r2.Sub(end, before))
	if d := r.edgeFrom(end, dir); d <= near && r.Contains(end) {
		line[len(line)-1] = r2.Add(end, r2.Scale(d, dir))
	}
	return line
}

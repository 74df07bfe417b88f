package contract

import (
	"math"
	"path/filepath"
	"sort"

	"conewright/packaging/reading"
)

// segment is a planar bead in plan.
type segment struct{ ax, ay, bx, by float64 }

// distance is from a place to the segment.
func (s *segment) distance(x, y float64) float64 {
	ux, uy := s.bx-s.ax, s.by-s.ay
	k := 0.0
	if l := ux*ux + uy*uy; l > 0 {
		k = math.Max(0, math.Min(1, ((x-s.ax)*ux+(y-s.ay)*uy)/l))
	}
	return math.Hypot(x-s.ax-k*ux, y-s.ay-k*uy)
}

type cell struct{ layer, x, y int }

// planar is a zone's planar motion: the heights of its beads and what lies there.
type planar struct {
	heights []float64
	beads   map[cell][]segment
}

// cellSize is wider than any tolerance and narrower than a part.
const cellSize = 1.0 // mm

// readPlanar reads a zone's planar motion; nil where the reading can't follow it
// (arcs of a brought file).
func (c *check) readPlanar(z *reading.Zone) *planar {
	path, err := reading.ReadPath(filepath.Join(c.dir, "planar", z.Name+".gcode"), &reading.Machine{})
	if err != nil {
		return nil // said already
	}
	if len(path.Faults) > 0 {
		if z.PlannedHere() {
			c.wrong("planar/%s.gcode, %s", z.Name, path.Faults[0])
		}
		return nil
	}
	p := &planar{beads: map[cell][]segment{}}
	seen := map[float64]bool{}
	for i := range path.Steps {
		if s := &path.Steps[i]; s.Extrudes() {
			seen[s.To.XYZ[2]] = true
		}
	}
	for h := range seen {
		p.heights = append(p.heights, h)
	}
	sort.Float64s(p.heights)
	r := *z.Register
	for i := range path.Steps {
		s := &path.Steps[i]
		if !s.Extrudes() {
			continue
		}
		a, b := s.From.XYZ, s.To.XYZ
		p.add(sort.SearchFloat64s(p.heights, b[2]), segment{a[0] - r[0], a[1] - r[1], b[0] - r[0], b[1] - r[1]})
	}
	for i := range p.heights {
		p.heights[i] -= r[2]
	}
	if len(p.heights) != *z.Shells && z.PlannedHere() {
		c.wrong("zone %s: beads lie on %d planar heights, run.json says %d shells", z.Name, len(p.heights), *z.Shells)
	}
	return p
}

func (p *planar) add(layer int, s segment) {
	n := int(math.Hypot(s.bx-s.ax, s.by-s.ay)/(cellSize/2)) + 1
	last := cell{layer: -1}
	for i := range n + 1 {
		k := float64(i) / float64(n)
		at := cell{layer, int(math.Floor((s.ax + k*(s.bx-s.ax)) / cellSize)), int(math.Floor((s.ay + k*(s.by-s.ay)) / cellSize))}
		if at != last {
			p.beads[at] = append(p.beads[at], s)
			last = at
		}
	}
}

// nearest is the planar height that is nearest to h, and how far off it is.
func (p *planar) nearest(h float64) (layer int, off float64) {
	i := sort.SearchFloat64s(p.heights, h)
	layer, off = -1, math.Inf(1)
	for _, j := range []int{i - 1, i} {
		if j >= 0 && j < len(p.heights) && math.Abs(h-p.heights[j]) < off {
			layer, off = j, math.Abs(h-p.heights[j])
		}
	}
	return layer, off
}

// off is how far, in plan, a place is from the layer's beads; infinite where it
// is further than a cell.
func (p *planar) off(layer int, x, y float64) float64 {
	cx, cy := int(math.Floor(x/cellSize)), int(math.Floor(y/cellSize))
	best := math.Inf(1)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, s := range p.beads[cell{layer, cx + dx, cy + dy}] {
				best = math.Min(best, s.distance(x, y))
			}
		}
	}
	return best
}

package solid

import (
	"math"

	"conewright/geom/parallel"
)

// node is a box of the hierarchy. A leaf holds count > 0 triangles from first
// on; an inner node's left child follows it, its right child is at first.
type node struct {
	bounds       [6]float32 // least x, y, z; greatest x, y, z
	first, count int32
}

const (
	leafSize = 4
	bins     = 16
	few      = 64 // under so many triangles half the bins do
	// forkSize is the number of triangles from which on both halves are built
	// at the same time.
	forkSize = 4096
	// binnedDepth bounds the depth to which binning may go before halves are
	// taken by count, so that the fixed stack of the rays suffices.
	binnedDepth = 40
)

// box is what the builder knows of a triangle.
type box struct {
	min, max [3]float32
	facet    int32
}

func (b *box) center(axis int) float32 { return b.min[axis] + b.max[axis] }

func (s *Solid) build() {
	boxes := s.boxes()
	if len(boxes) == 0 {
		return
	}
	s.nodes = make([]node, 2*len(boxes))
	split(s.nodes, boxes, 0, 0, 0)
	s.triangles = make([]triangle, len(boxes))
	s.facets = make([]int32, len(boxes))
	for i := range boxes {
		s.facets[i] = boxes[i].facet
		s.triangles[i] = newTriangle(s.Mesh.Corners(int(boxes[i].facet)))
	}
}

// boxes returns the boxes of all facets that are finite and have an area,
// rounded outward to single precision.
func (s *Solid) boxes() []box {
	boxes := make([]box, 0, len(s.Mesh.Facets))
	for i := range s.Mesh.Facets {
		a, b, c := s.Mesh.Corners(i)
		if !finite(a) || !finite(b) || !finite(c) || s.Normals[i].X == 0 && s.Normals[i].Y == 0 && s.Normals[i].Z == 0 {
			continue
		}
		lo, hi := least(a, least(b, c)), greatest(a, greatest(b, c))
		boxes = append(boxes, box{
			min:   [3]float32{below(lo.X), below(lo.Y), below(lo.Z)},
			max:   [3]float32{above(hi.X), above(hi.Y), above(hi.Z)},
			facet: int32(i),
		})
	}
	return boxes
}

// roundOut is a little more than the relative error of single precision, so
// that boxes hold their triangles and the rays' own rounding too.
const roundOut = 4e-7

func below(v float64) float32 { return float32(v - math.Abs(v)*roundOut - 1e-6) }
func above(v float64) float32 { return float32(v + math.Abs(v)*roundOut + 1e-6) }

// split makes nodes[at] the root of a hierarchy over boxes, which it puts in
// order; base is the number of boxes before them. A hierarchy over n boxes
// never needs more than 2n - 1 nodes: so much is kept free for it.
func split(nodes []node, boxes []box, at, base, depth int) {
	n := &nodes[at]
	bounds, centers := surround(boxes)
	for a := range 3 {
		n.bounds[a], n.bounds[3+a] = bounds.min[a], bounds.max[a]
	}
	if len(boxes) <= leafSize {
		n.first, n.count = int32(base), int32(len(boxes))
		return
	}
	half := divide(boxes, &centers, depth)
	right := at + 2*half // the left hierarchy takes at+1 .. at+2*half-1
	n.first = int32(right)
	if len(boxes) < forkSize {
		split(nodes, boxes[:half], at+1, base, depth+1)
		split(nodes, boxes[half:], right, base+half, depth+1)
		return
	}
	parallel.Do(
		func() { split(nodes, boxes[:half], at+1, base, depth+1) },
		func() { split(nodes, boxes[half:], right, base+half, depth+1) },
	)
}

// surround returns the box round all boxes, and the one round their centres
// (twice those: the halving is left out).
func surround(boxes []box) (bounds, centers box) {
	bounds = boxes[0]
	for a := range 3 {
		centers.min[a], centers.max[a] = bounds.center(a), bounds.center(a)
	}
	for i := 1; i < len(boxes); i++ {
		b := &boxes[i]
		for a := range 3 {
			lo, hi := b.min[a], b.max[a]
			if lo < bounds.min[a] {
				bounds.min[a] = lo
			}
			if hi > bounds.max[a] {
				bounds.max[a] = hi
			}
			c := lo + hi
			if c < centers.min[a] {
				centers.min[a] = c
			} else if c > centers.max[a] {
				centers.max[a] = c
			}
		}
	}
	return bounds, centers
}

// divide puts boxes in two groups and returns the size of the first: along the
// axis on which the centres spread most, at the border of bins where the
// surface area heuristic finds least cost.
func divide(boxes []box, centers *box, depth int) int {
	axis := 0
	for a := 1; a < 3; a++ {
		if centers.max[a]-centers.min[a] > centers.max[axis]-centers.min[axis] {
			axis = a
		}
	}
	spread := centers.max[axis] - centers.min[axis]
	if !(spread > 0) || depth > binnedDepth {
		return len(boxes) / 2
	}
	count := bins
	if len(boxes) < few {
		count = bins / 2
	}
	scale, least := float32(count)/spread, centers.min[axis]
	bin := func(b *box) int {
		return min(int((b.min[axis]+b.max[axis]-least)*scale), count-1)
	}
	best := bestBorder(boxes, count, bin)
	i, j := 0, len(boxes)
	for i < j {
		if bin(&boxes[i]) < best {
			i++
		} else {
			j--
			boxes[i], boxes[j] = boxes[j], boxes[i]
		}
	}
	if i == 0 || i == len(boxes) {
		return len(boxes) / 2
	}
	return i
}

type bucket struct {
	min, max [3]float32
	count    int
}

func (b *bucket) add(lo, hi *[3]float32, count int) {
	if b.count == 0 {
		b.min, b.max = *lo, *hi
	} else {
		for a := range 3 {
			if lo[a] < b.min[a] {
				b.min[a] = lo[a]
			}
			if hi[a] > b.max[a] {
				b.max[a] = hi[a]
			}
		}
	}
	b.count += count
}

func (b *bucket) cost() float32 {
	x, y, z := b.max[0]-b.min[0], b.max[1]-b.min[1], b.max[2]-b.min[2]
	return (x*y + y*z + z*x) * float32(b.count)
}

func bestBorder(boxes []box, count int, bin func(*box) int) int {
	var buckets [bins]bucket
	for i := range boxes {
		b := &boxes[i]
		buckets[bin(b)].add(&b.min, &b.max, 1)
	}
	var right [bins]float32
	var sum bucket
	for i := count - 1; i > 0; i-- {
		if b := &buckets[i]; b.count > 0 {
			sum.add(&b.min, &b.max, b.count)
		}
		right[i] = sum.cost()
	}
	sum = bucket{}
	best, least := 1, float32(math.Inf(1))
	for i := 1; i < count; i++ {
		if b := &buckets[i-1]; b.count > 0 {
			sum.add(&b.min, &b.max, b.count)
		}
		if c := sum.cost() + right[i]; c < least {
			best, least = i, c
		}
	}
	return best
}

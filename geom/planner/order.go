package planner

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// order puts beads in printing order. It goes through the layers from below and
// remembers where the nozzle is, which way the last closed bead turned, and how
// far the head is wound up.
type order struct {
	o    *Options
	at   r2.Vec
	wind wind
	left bool   // the last closed bead turned left
	seam r2.Vec // direction of this layer's seam
}

func newOrder(o *Options) *order {
	return &order{o: o, at: o.Axis, wind: wind{axis: o.Axis, inward: o.Inward}}
}

// seamStep is the golden angle: seams spread over layers never line up.
var seamStep = math.Pi * (3 - math.Sqrt(5))

// layer orders one layer: islands from the axis outward, then to the nearest;
// in each the walls, the gaps, the fill.
func (s *order) layer(i int, islands []island) []Bead {
	azimuth := s.o.SeamAzimuth
	if s.o.Seam == SeamSpread {
		azimuth += float64(i) * seamStep
	}
	sin, cos := math.Sincos(azimuth)
	s.seam = r2.Vec{X: cos, Y: sin}
	var entries []entry
	for j := range islands {
		entries = islands[j].entries(entries, j)
	}
	places := newPool(entries)
	taken := make([]bool, len(islands))
	var out []Bead
	from := s.o.Axis
	for {
		j := places.nearest(from, taken)
		if j < 0 {
			return out
		}
		taken[j] = true
		out = s.island(out, islands[j])
		from = s.at
	}
}

// entries adds some places of the island as number: points of its outermost
// beads, not all of them, since only the order of islands hangs on them.
func (isl *island) entries(list []entry, number int) []entry {
	const most = 24
	beads := slices.Concat(isl.gaps, isl.fill)
	for _, level := range isl.walls {
		if len(level) > 0 {
			beads = level
			break
		}
	}
	for _, b := range beads {
		step := 1 + len(b.Path)/most
		for i := 0; i < len(b.Path); i += step {
			list = append(list, entry{b.Path[i], number})
		}
	}
	return list
}

// island appends the beads of one island: what rests on something first, then
// what leans on it. With a nozzle off square to the shell each bead waits for
// those that its rim would plough.
func (s *order) island(out []Bead, isl island) []Bead {
	if rise := s.o.rise(); rise != nil {
		return s.upward(out, isl, rise)
	}
	levels := slices.Clone(isl.walls)
	if !s.o.OutsideIn {
		slices.Reverse(levels)
	}
	levels = append(levels, isl.gaps)
	var leaning [][]Bead
	for _, level := range levels {
		held, leans := byHold(level)
		out = s.nearest(out, held, s.at)
		leaning = append(leaning, leans)
	}
	held, leans := byHold(isl.fill)
	out = s.nearest(out, held, s.o.Axis)
	for _, beads := range append(leaning, leans) {
		out = s.nearest(out, beads, s.at)
	}
	return out
}

// byHold parts beads that rest on something from those that only lean.
func byHold(beads []Bead) (held, leans []Bead) {
	for _, b := range beads {
		if b.hangs > 0 || b.bridges {
			leans = append(leans, b)
		} else {
			held = append(held, b)
		}
	}
	return held, leans
}

// nearest appends beads by greedy nearest neighbour, the first one nearest to
// start.
func (s *order) nearest(out []Bead, beads []Bead, start r2.Vec) []Bead {
	list := make([]Bead, len(beads))
	var entries []entry
	for i, b := range beads {
		switch {
		case !b.Closed:
			entries = append(entries, entry{b.Path[0], i}, entry{b.Path[len(b.Path)-1], i})
		case s.o.Seam == SeamNearest:
			for _, p := range b.Path {
				entries = append(entries, entry{p, i})
			}
		default:
			b = startAt(b, s.seamOf(b))
			entries = append(entries, entry{b.Path[0], i})
		}
		list[i] = b
	}
	places := newPool(entries)
	taken := make([]bool, len(list))
	for from := start; ; from = s.at {
		i := places.nearest(from, taken)
		if i < 0 {
			return out
		}
		taken[i] = true
		b := s.turned(list[i])
		out = append(out, b)
		s.at = b.point(b.points() - 1)
		s.wind.at, _ = s.wind.along(&b)
	}
}

// turned lets an open bead begin at its nearer end, and turns closed ones so
// that a swivelling head needs the least unwinding: left and right by turns where
// that is all the same.
func (s *order) turned(b Bead) Bead {
	if !b.Closed {
		first, last := b.Path[0], b.Path[len(b.Path)-1]
		if rise := s.o.rise(); rise != nil {
			if rise(last) < rise(first)-levelEnds {
				return reversed(b)
			} else if rise(last) > rise(first)+levelEnds {
				return b
			}
		}
		if r2.Norm2(r2.Sub(last, s.at)) < r2.Norm2(r2.Sub(first, s.at)) {
			return reversed(b)
		}
		return b
	}
	if s.o.Seam == SeamNearest {
		i, _ := nearestIndex(b.Path, s.at)
		b = startAt(b, seam{index: i})
	}
	back := reversed(b)
	back = startAt(back, seam{index: len(back.Path) - 1})
	_, turns := s.wind.along(&b)
	_, turnsBack := s.wind.along(&back)
	s.left = !s.left
	isLeft := polygon.SignedArea(b.Path) > 0
	if turnsBack < turns || turnsBack == turns && s.left != isLeft {
		b, isLeft = back, !isLeft
	}
	s.left = isLeft
	return b
}

func nearestIndex(path []r2.Vec, p r2.Vec) (int, float64) {
	best, least := 0, math.Inf(1)
	for i, q := range path {
		if d := r2.Norm2(r2.Sub(q, p)); d < least {
			best, least = i, d
		}
	}
	return best, least
}

func reversed(b Bead) Bead {
	b.Path = slices.Clone(b.Path)
	slices.Reverse(b.Path)
	if b.Width != nil {
		b.Width = slices.Clone(b.Width)
		slices.Reverse(b.Width)
	}
	return b
}

// seam is a place on a closed path: a vertex, or a share of the edge behind it.
type seam struct {
	index int
	share float64
}

// seamOf finds where the seam's ray from the axis leaves the path for the last
// time; a path that it misses begins at the vertex nearest in azimuth.
func (s *order) seamOf(b Bead) seam {
	best, out := seam{}, -1.0
	turnBest, turn := 0, math.Inf(-1)
	for i, p := range b.Path {
		v := r2.Sub(p, s.o.Axis)
		w := r2.Sub(b.Path[polygon.Next(i, len(b.Path))], s.o.Axis)
		side, sideW := r2.Cross(s.seam, v), r2.Cross(s.seam, w)
		if (side <= 0) != (sideW <= 0) {
			t := side / (side - sideW)
			if d := r2.Dot(s.seam, r2.Add(v, r2.Scale(t, r2.Sub(w, v)))); d > out {
				best, out = seam{i, t}, d
			}
		}
		if c := r2.Dot(s.seam, v) / math.Max(r2.Norm(v), 1e-9); c > turn {
			turnBest, turn = i, c
		}
	}
	if out < 0 {
		return seam{index: turnBest}
	}
	return best
}

// startAt returns the closed bead begun at the seam.
func startAt(b Bead, at seam) Bead {
	n := len(b.Path)
	path := make([]r2.Vec, 0, n+1)
	var width []float64
	first := at.index
	const nearVertex = 1e-3 // share of an edge: no new point for so little
	if at.share > nearVertex && at.share < 1-nearVertex {
		j := polygon.Next(at.index, n)
		path = append(path, r2.Add(b.Path[at.index], r2.Scale(at.share, r2.Sub(b.Path[j], b.Path[at.index]))))
		if b.Width != nil {
			width = append(width, b.Width[at.index]+at.share*(b.Width[j]-b.Width[at.index]))
		}
		first = j
	} else if at.share >= 1-nearVertex {
		first = polygon.Next(at.index, n)
	}
	path = append(append(path, b.Path[first:]...), b.Path[:first]...)
	if b.Width != nil {
		b.Width = append(append(width, b.Width[first:]...), b.Width[:first]...)
	}
	b.Path = path
	return b
}

package planner

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A nozzle ends in a flat. Where it stands off square to the shell, one side of
// the flat reaches under the tip: uphill of it where the nozzle leans less than
// the shell, downhill where it leans more. A bead on that side must come later.

const (
	// squareEnough is the angle, radians, up to which the flat of a nozzle doesn't
	// reach a neighbour: it digs by a bead's distance times its sine, and a third
	// of a common shell, 0.06 mm at 0.4 mm, is the least that matters.
	squareEnough = 7 * math.Pi / 180
	// levelEnds is the difference of height, mm, under which either end of a bead
	// may come first.
	levelEnds = 0.1
)

// rise returns by what beads are ordered with a nozzle off square, or nil: the
// lower the value, the earlier.
func (o *Options) rise() func(p r2.Vec) float64 {
	if o.Lift == nil {
		return nil
	}
	switch off := math.Atan(r2.Norm(o.slope(r2.Add(o.Axis, r2.Vec{X: farOut})))) - o.Tilt; {
	case off > squareEnough: // the rim reaches uphill: the low side, where the lift is greatest, goes first
		return func(p r2.Vec) float64 { return -o.Lift.At(p) }
	case off < -squareEnough && off > -o.Tilt: // it reaches downhill
		return o.Lift.At
	}
	return nil
}

// farOut is how far from the axis the slope is asked for, mm: where rounding of
// an apex doesn't matter.
const farOut = 50

// contourFamily covers solid areas by beads each of which keeps to one height of the
// shell: any two neighbours then have an order in which neither is ploughed.
func (o *Options) contourFamily() *family {
	g := o.slope(r2.Add(o.Axis, r2.Vec{X: farOut}))
	if r2.Dot(g, o.slope(r2.Sub(o.Axis, r2.Vec{X: farOut}))) > 0 { // a ramp
		return linesFamily(math.Atan2(g.X, -g.Y), o.Pitch)
	}
	return ringsFamily(o.Axis, o.Pitch)
}

// ranked is a bead and when it comes: the lower its rise, the earlier.
type ranked struct {
	bead Bead
	rise float64
}

// upward appends the beads of an island by their mean rise, and none before those
// that its own rim would plough.
func (s *order) upward(out []Bead, isl island, rise func(p r2.Vec) float64) []Bead {
	var all []ranked
	isl.each(func(b *Bead) {
		for _, piece := range s.o.sides(b) {
			all = append(all, ranked{bead: piece})
		}
	})
	// Beads of one height go to the nearest.
	band := 0.25 * s.o.Pitch * r2.Norm(s.o.slope(r2.Add(s.o.Axis, r2.Vec{X: farOut})))
	s.o.rank(all, rise, band)
	slices.SortStableFunc(all, func(a, b ranked) int { return cmp.Compare(a.rise, b.rise) })
	for i := 0; i < len(all); {
		var level []Bead
		from := all[i].rise
		for ; i < len(all) && all[i].rise <= from+band; i++ {
			level = append(level, all[i].bead)
		}
		out = s.nearest(out, level, s.at)
	}
	return out
}

// leastShared is how many pairs of samples two beads side by side have at least:
// those of corners only, some 25, would ask for orders in a circle.
const leastShared = 30

// rank gives each bead its mean rise, and more than a band over those beside it that
// are lower along most of the way that they share.
func (o *Options) rank(all []ranked, rise func(p r2.Vec) float64, band float64) {
	type sample struct {
		bead int
		at   r2.Vec
		rise float64
	}
	reach := o.Rim + o.Pitch
	cell := func(p r2.Vec) [2]int {
		return [2]int{int(math.Floor(p.X / reach)), int(math.Floor(p.Y / reach))}
	}
	cells := map[[2]int][]sample{}
	lower := make([]map[int]int, len(all)) // of each bead: how often another is lower, less how often it is higher
	for i := range all {
		lower[i] = map[int]int{}
		sum, points := 0.0, samples(&all[i].bead)
		for _, p := range points {
			here := sample{i, p, rise(p)}
			sum += here.rise
			c := cell(p)
			for x := c[0] - 1; x <= c[0]+1; x++ {
				for y := c[1] - 1; y <= c[1]+1; y++ {
					for _, other := range cells[[2]int{x, y}] {
						switch {
						case other.bead == i || r2.Norm2(r2.Sub(other.at, p)) > reach*reach:
						case other.rise < here.rise-band:
							lower[i][other.bead]++
						case other.rise > here.rise+band:
							lower[i][other.bead]--
						}
					}
				}
			}
			cells[c] = append(cells[c], here)
		}
		all[i].rise = sum / float64(len(points))
	}
	after := make([][]int, len(all)) // of each bead: those that come before it
	for i := range all {
		for j := range i {
			if n := lower[i][j]; n > leastShared {
				after[i] = append(after[i], j)
			} else if n < -leastShared {
				after[j] = append(after[j], i)
			}
		}
	}
	const more = 1.01 // bands
	seen := make([]bool, len(all))
	var settle func(i int)
	settle = func(i int) {
		seen[i] = true
		for _, j := range after[i] {
			if !seen[j] {
				settle(j)
			}
		}
		for _, j := range after[i] {
			all[i].rise = max(all[i].rise, all[j].rise+more*band)
		}
	}
	byRise := make([]int, len(all))
	for i := range byRise {
		byRise[i] = i
	}
	slices.SortStableFunc(byRise, func(i, j int) int { return cmp.Compare(all[i].rise, all[j].rise) })
	for _, i := range byRise {
		if !seen[i] {
			settle(i)
		}
	}
}

const (
	// leastSide is the least cosine between an outline's normal and the slope at
	// which one side of a wall is higher than the other.
	leastSide = 0.2
	// leastPiece is the shortest piece that a wall is cut into, in pitches: a shorter
	// one stays with its neighbour.
	leastPiece = 4
)

// sides cuts a closed wall into the pieces that look uphill and those that look
// downhill. Of two walls side by side the outer one is the lower one here and the
// higher one there, so that no order of whole walls would do.
func (o *Options) sides(b *Bead) []Bead {
	if !b.Closed || b.Kind != Wall {
		return []Bead{*b}
	}
	n := len(b.Path)
	up := make([]int8, n) // of each edge: 1 uphill, -1 downhill, 0 neither
	for k := range n {
		p, q := b.Path[k], b.point(k+1)
		d, g := r2.Sub(q, p), o.slope(r2.Scale(0.5, r2.Add(p, q)))
		cos := r2.Dot(r2.Vec{X: d.Y, Y: -d.X}, g) / max(r2.Norm(d)*r2.Norm(g), 1e-12)
		if math.Abs(cos) >= leastSide {
			up[k] = int8(math.Copysign(1, cos))
		}
	}
	first := slices.IndexFunc(up, func(v int8) bool { return v != 0 })
	if first < 0 {
		return []Bead{*b}
	}
	// Cuts lie before the edges that look another way than the last that looked
	// either way.
	var cuts []int
	look := up[first]
	length := math.Inf(1)
	for j := 1; j <= n; j++ {
		k := (first + j) % n
		if v := up[k]; v != 0 && v != look {
			if length >= leastPiece*o.Pitch {
				cuts, length = append(cuts, k), 0
			}
			look = v
		}
		length += r2.Norm(r2.Sub(b.point(k+1), b.Path[k]))
	}
	if len(cuts) < 2 {
		return []Bead{*b}
	}
	var pieces []Bead
	for c, from := range cuts {
		to := cuts[(c+1)%len(cuts)]
		piece := *b
		piece.Path, piece.Width, piece.Closed = nil, nil, false
		for k := from; ; k = (k + 1) % n {
			piece.Path = append(piece.Path, b.Path[k])
			if b.Width != nil {
				piece.Width = append(piece.Width, b.Width[k])
			}
			if k == to {
				break
			}
		}
		pieces = append(pieces, piece)
	}
	return pieces
}

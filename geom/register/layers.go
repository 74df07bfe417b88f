package register

import (
	"cmp"
	"context"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/motion"
)

// layer is what is laid at one height.
type layer struct {
	z, h        float64 // top of its beads, thickness: mm, in the file's coordinates
	first, last int     // lines of its first and last bead
	beads       int
	length      float64
	box         box  // of the bead's middle lines
	spiral      bool // its beads rise by h in a turn; z is the middle of the rise
	lead        bool // spiral: see mid
}

// mid is where the planner cut the mesh for this layer: half a layer below the
// top of its beads. Spirals differ: some planners follow the section half a
// turn below all the way, some let the contour of a level layer, cut half a
// layer below its top, rise to that top, so that a bead is on the average as
// high as its section: those lead.
func (l *layer) mid() float64 {
	if l.lead {
		return l.z
	}
	return l.z - l.h/2
}

// census is what the first pass over a file learns.
type census struct {
	stats  motion.Stats
	flat   heights // level beads
	rising heights // beads that change their height
	steep  float64 // length of beads that rise by more than steepest
	flow   float64 // mean filament of a mm of bead
}

// heights keeps sums a height, in steps of zStep.
type heights struct {
	at   map[int32]int
	list []layer
	last int32 // the key of the last bead, and its place
	i    int
}

const (
	// zStep is how finely heights are told apart, mm: the last digit that is
	// usual in files.
	zStep = 0.001
	// maxHeights bounds the census: a spiral over 500 mm has as many.
	maxHeights = 500_000
	// steepest is the rise of a spiral's bead, mm a mm, that is still taken for
	// one: 0.3 mm a turn about 1 mm radius.
	steepest = 0.05
	// poorFlow is the part of the mean flow below which a move isn't a bead but
	// oozing made up for on a travel.
	poorFlow = 0.15
)

// errTooMany ends the census of a file without layers.
type errTooMany struct{}

func (errTooMany) Error() string { return "beads at more heights than layers can have" }

func (h *heights) add(ev *motion.Event, z, length float64) error {
	key := int32(math.Round(min(max(z, -1e5), 1e5) / zStep))
	if len(h.list) == 0 || key != h.last {
		i, ok := h.at[key]
		if !ok {
			if len(h.list) >= maxHeights {
				return errTooMany{}
			}
			if h.at == nil {
				h.at = map[int32]int{}
			}
			i = len(h.list)
			h.at[key] = i
			h.list = append(h.list, layer{z: z, first: ev.Line, box: emptyBox()})
		}
		h.last, h.i = key, i
	}
	l := &h.list[h.i]
	l.last = ev.Line
	l.beads++
	l.length += length
	l.box.add(plan(ev.From))
	l.box.add(plan(ev.To))
	return nil
}

// takeCensus is the first pass.
func takeCensus(ctx context.Context, src io.Reader, o *Options) (c census, err error) {
	c.stats, err = motion.Read(ctx, src, o.Read, func(ev *motion.Event) error {
		if !ev.Extrudes() || !ev.Placed() {
			return nil
		}
		dx, dy := ev.To.X-ev.From.X, ev.To.Y-ev.From.Y
		length := math.Sqrt(dx*dx + dy*dy)
		rise := math.Abs(ev.To.Z - ev.From.Z)
		if rise <= zStep/2 {
			return c.flat.add(ev, ev.To.Z, length)
		}
		if rise > steepest*length {
			c.steep += length
		}
		return c.rising.add(ev, (ev.From.Z+ev.To.Z)/2, length)
	})
	if c.stats.Length > 0 {
		c.flow = c.stats.Filament / c.stats.Length
	}
	return c, err
}

// over returns the heights, from below, that have beads over the area.
func (h *heights) over(area box) []layer {
	list := slices.Clone(h.list)
	list = slices.DeleteFunc(list, func(l layer) bool { return !l.box.meets(area) })
	slices.SortFunc(list, func(a, b layer) int { return cmp.Compare(a.z, b.z) })
	return list
}

func lengthOf(list []layer) float64 {
	sum := 0.0
	for i := range list {
		sum += list[i].length
	}
	return sum
}

// merge adds what b holds to a.
func (l *layer) merge(b *layer) {
	l.first, l.last = min(l.first, b.first), max(l.last, b.last)
	l.beads += b.beads
	l.length += b.length
	l.box.add(b.box.min)
	l.box.add(b.box.max)
}

const (
	// sameLayer is how far heights of one layer may lie apart, mm.
	sameLayer = 0.02
	// risingShare is the part of all beads that must rise for a file to hold a
	// spiral.
	risingShare = 0.02
	// strayGap and strayShare: a height that is nearer to its neighbour than
	// this part of a layer and holds less than this part of its beads is no
	// layer of its own (a priming line, a wipe).
	strayGap, strayShare = 0.45, 0.3
	// samePitch is how far a spiral's pitch may seem off the layer height and
	// still be it.
	samePitch = 0.04
	// thickFirst is how much thicker than the next a first layer may be. From
	// twice on it is the second, the first being too small to print.
	thickFirst = 1.9
)

// layers makes a list of layers, from below, out of the census. perimeter
// tells the length of the mesh's outline at a height, for the pitch of spirals.
// Heights without beads over the area within don't count: priming lines.
func (c *census) layers(o *Options, within box, perimeter func(z float64) float64) []layer {
	flat, rising := c.flat.over(within), c.rising.over(within)
	spiral := lengthOf(rising) > risingShare*(lengthOf(rising)+lengthOf(flat))
	if spiral {
		flat, rising = stairs(flat, rising, o.LayerHeight)
	}
	list := dropStrays(merged(flat), o.LayerHeight)
	if spiral {
		foot := math.Inf(-1)
		for i := range list {
			if list[i].z < rising[0].z {
				foot = list[i].z
			}
		}
		list = append(list, slabs(rising, o, foot, perimeter)...)
		slices.SortStableFunc(list, func(a, b layer) int { return cmp.Compare(a.z, b.z) })
	}
	if len(list) == 0 {
		return nil
	}
	thickness(list, o.LayerHeight)
	for i := range list[1:] { // slabs overlap: keep one open until the next is done
		if a, b := &list[i], &list[i+1]; a.spiral && b.spiral {
			a.last = max(a.last, b.last)
		}
	}
	return list
}

// stairs moves short level stretches among a spiral's beads to it: beads that
// are too short to rise by a digit.
func stairs(flat, rising []layer, h float64) (level, spiral []layer) {
	lo, hi := rising[0].z-h, rising[len(rising)-1].z+h
	turn := lengthOf(rising) * h / (hi - lo)
	spiral = rising
	for _, l := range flat {
		if l.z > lo && l.z < hi && l.length < turn/4 {
			spiral = append(spiral, l)
		} else {
			level = append(level, l)
		}
	}
	slices.SortStableFunc(spiral, func(a, b layer) int { return cmp.Compare(a.z, b.z) })
	return level, spiral
}

func merged(sorted []layer) []layer {
	var list []layer
	for i := range sorted {
		if n := len(list); n > 0 && sorted[i].z-list[n-1].z < sameLayer {
			l := &list[n-1]
			l.z += (sorted[i].z - l.z) * sorted[i].length / (l.length + sorted[i].length)
			l.merge(&sorted[i])
			continue
		}
		list = append(list, sorted[i])
	}
	return list
}

func dropStrays(list []layer, h float64) []layer {
	kept := list[:0:0]
	for i := range list {
		stray := false
		for _, k := range [2]int{i - 1, i + 1} {
			if k >= 0 && k < len(list) && math.Abs(list[k].z-list[i].z) < strayGap*h && list[i].length < strayShare*list[k].length {
				stray = true
			}
		}
		if !stray {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// slabs cuts the beads of a spiral into slabs of one turn. The pitch follows
// from lengths: each turn is as long as the outline, less the inset of its
// bead.
func slabs(sorted []layer, o *Options, foot float64, perimeter func(z float64) float64) []layer {
	lo, hi, length := sorted[0].z, sorted[len(sorted)-1].z, lengthOf(sorted)
	around, n := 0.0, 0
	for z := lo; z <= hi; z += math.Max((hi-lo)/50, zStep) {
		if p := perimeter(z); p > 0 {
			around += p - math.Pi*o.LineWidth
			n++
		}
	}
	pitch := o.LayerHeight
	if p := (hi - lo) * around / float64(max(n, 1)) / length; p > pitch/4 && p < pitch*4 && math.Abs(p-pitch) > samePitch*pitch {
		pitch = p
	}
	if lo-foot < pitch { // turns are counted from the level layer below
		lo = foot
	}
	var list []layer
	for i := range sorted {
		s := &sorted[i]
		slab := lo + (math.Floor((s.z-lo)/pitch)+0.5)*pitch
		if n := len(list); n > 0 && list[n-1].z == slab {
			list[n-1].merge(s)
			continue
		}
		l := *s
		l.z, l.h, l.spiral = slab, pitch, true
		list = append(list, l)
	}
	return list
}

// thickness fills in the layers' h: the distance to the layer below; where a
// layer stands alone (the first, one over a gap), that of its neighbours.
func thickness(list []layer, usual float64) {
	gap := func(i int) float64 {
		if i < 1 || i >= len(list) {
			return 0
		}
		return list[i].z - list[i-1].z
	}
	for i := range list {
		if list[i].spiral {
			continue
		}
		h, next := gap(i), gap(i+1)
		if next == 0 || next > 3*usual {
			next = usual
		}
		switch {
		case i == 0:
			h = next
			if z := list[i].z; z > 0.3*usual && z < thickFirst*next { // it lies on the bed
				h = z
			}
		case h > 1.8*next && h > 1.8*usual:
			h = next
		}
		list[i].h = h
	}
}

// find returns the layer that is nearest to height z, and whether a bead there
// belongs to it.
func find(list []layer, z float64, rising bool) (i int, belongs bool) {
	above, _ := slices.BinarySearchFunc(list, z, func(l layer, z float64) int { return cmp.Compare(l.z, z) })
	best, near := 0, math.Inf(1)
	for k := max(0, above-2); k <= min(above+1, len(list)-1); k++ {
		d := math.Abs(list[k].z - z)
		if rising != list[k].spiral {
			d += list[k].h // another's
		}
		if d < near {
			best, near = k, d
		}
	}
	slack := sameLayer
	if rising {
		slack = list[best].h/2 + zStep
	}
	return best, near <= slack && rising == list[best].spiral
}

func plan(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }

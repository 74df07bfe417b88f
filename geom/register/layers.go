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
	placed int     // beads whose places the file tells
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
		c.placed++
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
	// thickFirst is how much thicker than the next a first layer may be. From
	// twice on it is the second, the first being too small to print.
	thickFirst = 1.9
)

// layers makes a list of layers, from below, out of the census. perimeter
// tells the length of the mesh's outline at a height, for the pitch of spirals.
// Heights without beads over the area within don't count: priming lines.
func (c *census) layers(o *Options, within box, perimeter func(z float64) float64) []layer {
	flat, rising := c.flat.over(within), c.rising.over(within)
	var spirals []spiral
	if lengthOf(rising) > risingShare*(lengthOf(rising)+lengthOf(flat)) {
		flat, spirals = stairs(flat, rising, o.LayerHeight)
	}
	list := dropStrays(merged(flat), o.LayerHeight)
	level, rise := list, pitch(spirals, o, perimeter)
	for _, s := range spirals {
		list = append(list, s.slabs(rise, level)...)
	}
	slices.SortStableFunc(list, func(a, b layer) int { return cmp.Compare(a.z, b.z) })
	if len(list) == 0 {
		return nil
	}
	thickness(list, o.LayerHeight)
	for i := range list[1:] { // slabs overlap: keep what is below open until they are done
		if a, b := &list[i], &list[i+1]; b.spiral {
			a.last = max(a.last, b.last)
		}
	}
	return list
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

// thickness fills in the layers' h: the distance to the layer below; where a
// layer stands alone (the first, one over a gap), that of its neighbours.
func thickness(list []layer, usual float64) {
	gap := func(i int) float64 {
		switch {
		case i < 1 || i >= len(list):
			return 0
		case list[i].spiral:
			return list[i].h
		case list[i-1].spiral: // its z is the middle
			return list[i].z - list[i-1].z - list[i-1].h/2
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
// belongs to it. A level bead belongs to a spiral too where no level layer is at
// its very height: it was too short to rise by a digit.
func find(list []layer, z float64, rising bool) (i int, belongs bool) {
	above, _ := slices.BinarySearchFunc(list, z, func(l layer, z float64) int { return cmp.Compare(l.z, z) })
	best, near := 0, math.Inf(1)
	for k := max(0, above-2); k <= min(above+1, len(list)-1); k++ {
		l := &list[k]
		d := math.Abs(l.z - z)
		switch {
		case rising && !l.spiral:
			d += l.h // another's
		case !rising && l.spiral && d > l.h/2:
			d += l.h
		case !rising && l.spiral:
			d = 1.5 * zStep
		}
		if d < near {
			best, near = k, d
		}
	}
	slack := sameLayer
	if rising {
		slack = list[best].h/2 + zStep
	}
	return best, near <= slack && (list[best].spiral || !rising)
}

func plan(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }

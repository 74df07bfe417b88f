package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// Lift is what the planner knows of the field that made the shells level. With
// it the planner tells what lies under a bead on its shell, and which side of a
// shell is low.
type Lift interface {
	// At returns the lift at p, mm.
	At(p r2.Vec) float64
	// Grad returns its gradient, zero and false where it has none.
	Grad(p r2.Vec) (g r2.Vec, ok bool)
}

const (
	// restSideways is how far sideways, in line widths, a bead may lie from one of
	// the shell below and still rest on it: 0.6 by CONTRACT, "What a bead rests
	// on", less what samples and rounded words may err.
	restSideways = 0.55
	// restStep is the distance of samples along a bead, mm.
	restStep = 0.2
	// restCell is the size of the cells in which samples are looked up, mm: a
	// little more than beads reach.
	restCell = 0.5
	// longHang is the length, mm, from which on a stretch of bead with nothing
	// under it is mended: a little less than what counts as hanging.
	longHang = 4.0
	// nearBase is how many shells above the bed or the base a bead rests on it: 2
	// by CONTRACT, less the same.
	nearBase = 1.9
)

// laid holds where the beads of a layer lie: samples of them, in square cells.
type laid struct {
	lo     r2.Vec
	nx, ny int
	starts []int32 // the points of cell c: starts[c] up to starts[c+1]
	points []r2.Vec
	more   []r2.Vec // added later: few
}

func newLaid(islands []island) *laid {
	var all []r2.Vec
	for i := range islands {
		islands[i].each(func(b *Bead) { all = sampled(all, b) })
	}
	l := &laid{}
	if len(all) == 0 {
		return l
	}
	box := polygon.Region{all}.Bounds()
	l.lo = box.Min
	l.nx, l.ny = int((box.Max.X-l.lo.X)/restCell)+1, int((box.Max.Y-l.lo.Y)/restCell)+1
	l.starts = make([]int32, l.nx*l.ny+1)
	for _, p := range all {
		l.starts[l.cell(p)+1]++
	}
	for c := range l.nx * l.ny {
		l.starts[c+1] += l.starts[c]
	}
	l.points = make([]r2.Vec, len(all))
	next := append([]int32(nil), l.starts...)
	for _, p := range all {
		c := l.cell(p)
		l.points[next[c]] = p
		next[c]++
	}
	return l
}

func (l *laid) cell(p r2.Vec) int {
	return int((p.Y-l.lo.Y)/restCell)*l.nx + int((p.X-l.lo.X)/restCell)
}

func (l *laid) add(b *Bead) { l.more = sampled(l.more, b) }

// near calls use with the samples at most reach from q in plan, and some farther
// ones, until it returns true.
func (l *laid) near(q r2.Vec, reach float64, use func(p r2.Vec) bool) bool {
	x0, x1 := max(0, int(math.Floor((q.X-reach-l.lo.X)/restCell))), min(l.nx-1, int(math.Floor((q.X+reach-l.lo.X)/restCell)))
	y0, y1 := max(0, int(math.Floor((q.Y-reach-l.lo.Y)/restCell))), min(l.ny-1, int(math.Floor((q.Y+reach-l.lo.Y)/restCell)))
	for y := y0; y <= y1 && x0 <= x1; y++ {
		for _, p := range l.points[l.starts[y*l.nx+x0]:l.starts[y*l.nx+x1+1]] {
			if use(p) {
				return true
			}
		}
	}
	for _, p := range l.more {
		if use(p) {
			return true
		}
	}
	return false
}

// nearest returns the sample nearest to q by the length that distance gives, up
// to reach.
func (l *laid) nearest(q r2.Vec, reach float64, distance func(v r2.Vec) float64) (at r2.Vec, ok bool) {
	l.near(q, reach, func(p r2.Vec) bool {
		if d := distance(r2.Sub(p, q)); d <= reach {
			at, reach, ok = p, d, true
		}
		return false
	})
	return at, ok
}

// samples are points along a bead, restStep apart at most.
func samples(b *Bead) []r2.Vec { return sampled(nil, b) }

// sampled appends the samples of b to out.
func sampled(out []r2.Vec, b *Bead) []r2.Vec {
	for i := 1; i < b.points(); i++ {
		p, q := b.point(i-1), b.point(i)
		n := max(1, int(math.Ceil(r2.Norm(r2.Sub(q, p))/restStep)))
		for k := range n {
			out = append(out, r2.Add(p, r2.Scale(float64(k)/float64(n), r2.Sub(q, p))))
		}
	}
	if n := b.points(); n > 0 {
		out = append(out, b.point(n-1))
	}
	return out
}

// slope returns the gradient of the lift at p.
func (o *Options) slope(p r2.Vec) r2.Vec {
	if o.Lift == nil {
		return r2.Vec{}
	}
	g, _ := o.Lift.Grad(p)
	return g
}

// below returns the point of the shell below that lies under p along the shell's
// normal, in plan.
func (o *Options) below(p r2.Vec) r2.Vec {
	g := o.slope(p)
	return r2.Sub(p, r2.Scale(o.LayerHeight/(1+r2.Norm2(g)), g))
}

// along returns how long lengths in plan are on the shell at p.
func (o *Options) along(p r2.Vec) func(v r2.Vec) float64 {
	g := o.slope(p)
	return func(v r2.Vec) float64 { return math.Hypot(r2.Norm(v), r2.Dot(g, v)) }
}

// thickness is that of a shell at p, width that of a bead on it: the stadium of
// Options.BeadArea.
func (o *Options) thickness(p r2.Vec) float64 {
	return o.LayerHeight / math.Sqrt(1+r2.Norm2(o.slope(p)))
}

func (o *Options) width(p r2.Vec) float64 {
	t := o.thickness(p)
	return o.BeadArea/t + t*(1-math.Pi/4)
}

// middle returns the planar height of the middle of layer i.
func (o *Options) middle(i int) float64 { return (float64(i) + 0.5) * o.LayerHeight }

// onBase reports whether a bead of layer i at p rests on the bed or the base.
func (o *Options) onBase(p r2.Vec, i int) bool {
	z := o.middle(i)
	if o.Height != nil {
		z = o.Height(p, z)
	}
	g := r2.Norm(o.slope(p))
	steep := math.Sqrt(1 + g*g)
	return z <= (nearBase*o.thickness(p)+restSideways*o.width(p)*g)/steep
}

// rests reports whether a bead of layer i at p has something under it.
func (o *Options) rests(p r2.Vec, i int, under *laid) bool {
	if under != nil {
		g := o.slope(p)
		steep2 := 1 + r2.Norm2(g)
		q := r2.Sub(p, r2.Scale(o.LayerHeight/steep2, g)) // below p
		t := o.LayerHeight / math.Sqrt(steep2)
		reach := restSideways * (o.BeadArea/t + t*(1-math.Pi/4))
		found := under.near(q, reach, func(k r2.Vec) bool {
			v := r2.Sub(k, q)
			rise := r2.Dot(g, v)
			return r2.Norm2(v)+rise*rise <= reach*reach
		})
		if found {
			return true
		}
	}
	return o.onBase(p, i)
}

// hanging returns the stretches of a bead of layer i that have nothing under
// them over longHang or more, and the longest of them.
func (o *Options) hanging(b *Bead, i int, under *laid) (runs [][]r2.Vec, longest float64) {
	var run []r2.Vec
	end := func() {
		if length := o.realLength(run); length >= longHang {
			runs = append(runs, run)
			longest = math.Max(longest, length)
		}
		run = nil
	}
	for _, p := range samples(b) {
		if o.rests(p, i, under) {
			end()
		} else {
			run = append(run, p)
		}
	}
	end()
	return runs, longest
}

func (o *Options) realLength(path []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i < len(path); i++ {
		sum += o.along(path[i])(r2.Sub(path[i], path[i-1]))
	}
	return sum
}

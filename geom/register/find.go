// Package register finds where a planar motion file lies to the warped mesh
// that it was made of, without reading a comment: planners move parts about
// the bed, and their comments differ.
//
// Three passes over the file, each in bounded memory: a census of heights; a
// fit of the mesh's sections to the beads of some layers; a check of all
// layers, which refuses what doesn't fit and tells beads of the part from
// skirts, brims and priming lines.
package register

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/mesh"
	"conewright/geom/message"
)

// Find registers the file that open gives (it is opened once for each pass) to
// the warped mesh m. A file that doesn't fit gives a *Mismatch.
func Find(ctx context.Context, open func() (io.ReadCloser, error), m *mesh.Mesh, o Options) (*Result, error) {
	o.fill()
	f := finder{open: open, o: o, cut: newCutter(m)}
	if f.cut.bins == nil {
		return nil, errors.New("register: the warped mesh is empty or flat")
	}
	if err := f.census(ctx); err != nil {
		return nil, err
	}
	if err := f.fit(ctx); err != nil {
		return nil, err
	}
	return f.verify(ctx)
}

func (o *Options) fill() {
	if !(o.LayerHeight > 0) {
		o.LayerHeight = 0.2
	}
	if !(o.LineWidth > 0) {
		o.LineWidth = 0.45
	}
}

// finder carries what one pass learns to the next.
type finder struct {
	open func() (io.ReadCloser, error)
	o    Options
	cut  *cutter

	taken census
	list  []layer
	at    fit
	first int
	like  message.Text // a scale or a turn that explains the misfit
	kept  []slice      // for footprints, if they are asked for

	relisted bool
}

// pass opens the file for one reading; k of 3 is for the progress.
func (f *finder) pass(k int, read func(io.Reader, *Options) error) error {
	src, err := f.open()
	if err != nil {
		return fmt.Errorf("register: opening the motion file: %w", err)
	}
	defer src.Close()
	o := f.o
	o.Read.Progress = nil
	if f.o.Progress != nil {
		o.Read.Progress = func(done float64) { f.o.Progress((float64(k) + done) / 3) }
	}
	return read(src, &o)
}

func (f *finder) census(ctx context.Context) error {
	err := f.pass(0, func(r io.Reader, o *Options) (err error) {
		f.taken, err = takeCensus(ctx, r, o)
		return err
	})
	if errors.As(err, &errTooMany{}) {
		return f.refuse(message.New("it has no layers: beads lie at more heights than a planar file can have"), misfit{})
	}
	if err != nil {
		return err
	}
	if f.taken.stats.Beads == 0 {
		return f.refuse(message.New("it lays no bead"), misfit{})
	}
	if f.taken.steep > steepShare*f.taken.stats.Length {
		return f.refuse(message.New("%.0f %% of its beads climb or fall; a planar file's are level (was it unwarped already?)", 100*f.taken.steep/f.taken.stats.Length), misfit{})
	}
	f.list = f.taken.layers(&f.o, everywhere, f.perimeter)
	if len(f.list) == 0 {
		if f.taken.placed == 0 {
			return f.refuse(message.New("it tells all places by steps (G91) from where the machine homes: let the slicer write absolute places (G90)"), misfit{})
		}
		return f.refuse(message.New("it has no layers"), misfit{})
	}
	return nil
}

// perimeter is the length of the mesh's outline at a height.
func (f *finder) perimeter(z float64) float64 {
	sum := 0.0
	for _, q := range f.cut.cut(nil, z) {
		if !q.inner {
			sum += r2.Norm(r2.Sub(q.b, q.a))
		}
	}
	return sum
}

// steepShare is the part of all beads that may be steeper than a spiral's.
const steepShare = 0.05

// fit finds the place. Once it is known roughly, the layers are counted again
// without what lies beside the part, and the fit is made again if they differ.
func (f *finder) fit(ctx context.Context) error {
	for again := true; again; {
		kept := choose(f.list)
		err := f.pass(1, func(r io.Reader, o *Options) error {
			return collect(ctx, r, o, f.list, kept, f.taken.flow)
		})
		if err != nil {
			return err
		}
		ft := fitter{cut: f.cut, slices: kept, usual: f.o.LineWidth / 2}
		f.place(&ft)
		if f.at.n == 0 {
			return f.refuse(message.New("no outline of the mesh meets a bead"), misfit{})
		}
		if again = !f.relisted && f.relist(); !again {
			begin := ft.begins(f.at)
			f.begin(&kept[begin])
			if n := ft.surplus(f.at, begin); n > 0 {
				return f.refuse(message.New("its layers are %d too many for the mesh's height", n), misfit{})
			}
		}
		if f.o.Footprints {
			f.kept = kept
		}
		if !again {
			f.at.inset = f.boundInset(f.at.inset)
			like := ft.likeness(f.at)
			f.like = like.reason()
		}
	}
	return nil
}

// place fits from scratch, spirals both ways; see layer.mid.
func (f *finder) place(ft *fitter) {
	f.at = f.settle(ft)
	if !f.leading(ft, true) {
		return
	}
	other := f.settle(ft)
	if asGood(f.at, other) && (f.at.rms <= other.rms || math.Abs(f.at.d.Z) <= math.Abs(other.d.Z)) {
		f.leading(ft, false)
		return
	}
	f.at = other
}

// relist counts the layers over the part alone and reports whether they are
// others than before.
func (f *finder) relist() bool {
	const margin = 0.2
	d, m := plan(f.at.d), r2.Vec{X: margin, Y: margin}
	list := f.taken.layers(&f.o, box{
		min: r2.Sub(r2.Add(plan(f.cut.min), d), m),
		max: r2.Add(r2.Add(plan(f.cut.max), d), m),
	}, f.perimeter)
	f.relisted = true
	if len(list) == 0 || slices.EqualFunc(list, f.list, func(a, b layer) bool { return a.z == b.z && a.h == b.h }) {
		return false
	}
	f.list = list
	return true
}

// begin notes the first layer of the part.
func (f *finder) begin(s *slice) {
	for f.first < len(f.list)-1 && f.list[f.first].z < s.z {
		f.first++
	}
	f.list[f.first].h = s.h
}

// settle fits from scratch.
func (f *finder) settle(ft *fitter) fit {
	at := ft.best(newProfile(f.cut).places(f.list, ft.usual))
	if at.n == 0 {
		return at
	}
	return ft.simplest(at, f.list)
}

// leading sets how spirals are taken; see layer.mid. It reports whether there
// are any.
func (f *finder) leading(ft *fitter, lead bool) bool {
	some := false
	for i := range f.list {
		f.list[i].lead = f.list[i].spiral && lead
		some = some || f.list[i].spiral
	}
	for i := range ft.slices {
		ft.slices[i].lead = ft.slices[i].spiral && lead
	}
	return some
}

// boundInset keeps the fitted inset near half a bead, so that a part that is
// too small or too large all round isn't taken for an odd line width. The
// bead's own width follows from its filament: the stadium formula of DESIGN 3.
func (f *finder) boundInset(inset float64) float64 {
	const slack = 0.03
	lo, hi := f.o.LineWidth/2, f.o.LineWidth/2
	s := &f.taken.stats
	if s.Length > 0 {
		h := f.o.LayerHeight
		area := s.Filament * s.FilamentArea / s.Length
		w := (area/h + h*(1-math.Pi/4)) / 2
		lo, hi = math.Min(lo, math.Max(w, 0.8*lo)), math.Max(hi, math.Min(w, 1.25*hi))
	}
	return math.Min(math.Max(inset, lo-slack), hi+slack)
}

// verify holds the whole file against the fit. Where a layer is left out below
// while one is missing at the top, the part may as well stand a layer lower: what
// was laid beside it then hid its first layer.
func (f *finder) verify(ctx context.Context) (*Result, error) {
	if h, ok := f.layerShort(); ok {
		lower := *f
		lower.first--
		lower.at.d.Z -= h
		r, err := lower.check(ctx)
		if ctx.Err() != nil {
			return nil, err
		}
		higher, errHigher := f.check(ctx)
		if err == nil && (errHigher != nil || r.OffPart < higher.OffPart && r.Error < higher.Error+asExact) {
			return r, nil
		}
		return higher, errHigher
	}
	return f.check(ctx)
}

// asExact is by how much two fits of an upright part may differ, mm, and be the
// same but for their height.
const asExact = 0.02

// layerShort reports that the part misses its top layer though there is one more
// below it, and how high that is.
func (f *finder) layerShort() (h float64, ok bool) {
	if f.first == 0 || f.list[f.first].spiral {
		return 0, false
	}
	h = f.list[f.first].z - f.list[f.first-1].z
	missing := f.cut.max.Z - (f.list[len(f.list)-1].z - f.at.d.Z)
	return h, h > 0.5*f.o.LayerHeight && h < 1.5*f.o.LayerHeight && missing > 0.7*h
}

func (f *finder) check(ctx context.Context) (*Result, error) {
	r := &Result{Offset: f.at.d, Inset: f.at.inset, Stats: f.taken.stats, first: f.first, Layers: len(f.list) - f.first}
	low := f.first
	for low < len(f.list) && (low < f.first+lowCount || f.list[low].z < f.list[f.first].z+lowHeight) {
		low++
	}
	v := verifier{cut: f.cut, beads: beads{list: f.list, flow: f.taken.flow}, at: f.at, low: low, first: f.first, result: r}
	var worst misfit
	err := f.pass(2, func(src io.Reader, o *Options) (err error) {
		worst, err = v.run(ctx, src, o)
		return err
	})
	if err != nil {
		return nil, err
	}
	worst.worsen(f.gaps())
	r.Error = worst.off
	if f.like.Format != "" && r.FirstBead > 0 {
		return nil, f.refuse(f.like, worst)
	}
	if worst.off > MaxOutline || r.FirstBead == 0 {
		return nil, f.refuse(message.New("the outline is off even in the best fit"), worst)
	}
	r.Bottom, r.Top = f.list[f.first].mid()-f.list[f.first].h/2-f.at.d.Z, f.list[len(f.list)-1].z-f.at.d.Z
	r.prepare(f, low)
	r.Footprints = f.footprints()
	return r, nil
}

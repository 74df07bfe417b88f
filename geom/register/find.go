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

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/motion"
)

// MaxOutline is how far the outline may be off anywhere in the best fit, mm;
// beyond it the file is refused.
const MaxOutline = 0.3

// Options say what the file was to be made with; zeros are filled in.
type Options struct {
	LayerHeight float64 // planar, mm; 0: 0.2
	LineWidth   float64 // planar, mm; 0: 0.45
	Read        motion.ReadOptions
	Progress    func(done float64)
}

// Result is where the file lies.
type Result struct {
	// Offset is the planar motion's place less the mesh's: [dx, dy, dz].
	Offset r3.Vec
	// Error is the greatest deviation of an outline, mm, after the fit: of what
	// the outermost beads draw from the mesh's section.
	Error float64
	// Inset is how far the middle lines of the outermost beads lie inside of
	// the outline, mm.
	Inset float64
	// FirstBead and LastBead are the lines of the first and last bead that
	// belong to the part.
	FirstBead, LastBead int
	// OffPart counts beads that don't: skirts, brims, rafts, priming lines.
	OffPart int
	// Layers of the part.
	Layers int
	// Bottom and Top are the heights, in the mesh's coordinates, between which
	// the file prints.
	Bottom, Top float64
	Stats       motion.Stats

	beads beads
	low   []*footprint // sections of the layers that may hold beads off the part
	first int          // the part's first layer
}

// Mismatch says why a file doesn't fit.
type Mismatch struct {
	Why       string  // in a few words
	Deviation float64 // mm; 0 where there is nothing to compare
	At        r3.Vec  // in the file's coordinates
	Line      int
	Missing   bool   // the part has an outline there and the file no bead
	Offset    r3.Vec // the best fit
	Share     float64
	FileSize  r3.Vec // extent of the file's beads, first layers apart, mm
	PartSize  r3.Vec // extent of the warped mesh, mm
}

// Code is the finding code.
func (m *Mismatch) Code() string { return "register" }

func (m *Mismatch) Error() string {
	s := "the motion file doesn't fit the warped mesh: " + m.Why
	if m.Deviation > 0 {
		what := "a bead lies %.2f mm off the part at x %.2f y %.2f z %.2f (line %d)"
		if m.Missing {
			what = "the part's outline is %.2f mm from any bead at x %.2f y %.2f z %.2f (layer from line %d)"
		}
		s += "; " + fmt.Sprintf(what, m.Deviation, m.At.X, m.At.Y, m.At.Z, m.Line) + fmt.Sprintf("; %.1f mm is allowed", MaxOutline)
	}
	if m.FileSize != (r3.Vec{}) {
		s += fmt.Sprintf("; the file's beads span %.1f x %.1f x %.1f mm, the mesh %.1f x %.1f x %.1f mm",
			m.FileSize.X, m.FileSize.Y, m.FileSize.Z, m.PartSize.X, m.PartSize.Y, m.PartSize.Z)
	}
	return s + "; slice the warped mesh as it is: not turned, mirrored or scaled, and alone"
}

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
		return f.refuse("it has no layers: beads lie at more heights than a planar file can have", misfit{})
	}
	if err != nil {
		return err
	}
	if f.taken.stats.Beads == 0 {
		return f.refuse("it lays no bead", misfit{})
	}
	if f.taken.steep > steepShare*f.taken.stats.Length {
		return f.refuse(fmt.Sprintf("%.0f %% of its beads climb or fall; a planar file's are level (was it unwarped already?)", 100*f.taken.steep/f.taken.stats.Length), misfit{})
	}
	var pieces []piece
	f.list = f.taken.layers(&f.o, func(z float64) float64 {
		pieces = f.cut.cut(pieces[:0], z)
		sum := 0.0
		for i := range pieces {
			sum += r2.Norm(r2.Sub(pieces[i].b, pieces[i].a))
		}
		return sum
	})
	if len(f.list) == 0 {
		return f.refuse("it has no layers", misfit{})
	}
	return nil
}

// steepShare is the part of all beads that may be steeper than a spiral's.
const steepShare = 0.05

func (f *finder) fit(ctx context.Context) error {
	kept := choose(f.list)
	err := f.pass(1, func(r io.Reader, o *Options) error {
		return collect(ctx, r, o, f.list, kept, f.taken.flow)
	})
	if err != nil {
		return err
	}
	ft := fitter{cut: f.cut, slices: kept, usual: f.o.LineWidth / 2}
	f.at = f.settle(&ft)
	if f.leading(&ft, true) {
		other := f.settle(&ft)
		if worse := asGood(f.at, other) && (f.at.rms <= other.rms || math.Abs(f.at.d.Z) <= math.Abs(other.d.Z)); worse {
			f.leading(&ft, false)
		} else {
			f.at = other
		}
	}
	if f.at.n == 0 {
		return f.refuse("no outline of the mesh meets a bead", misfit{})
	}
	f.at.inset = f.boundInset(f.at.inset)
	begin := &kept[ft.begins(f.at)]
	for f.first < len(f.list)-1 && f.list[f.first].z < begin.z {
		f.first++
	}
	f.list[f.first].h = begin.h
	return nil
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
	any := false
	for i := range f.list {
		f.list[i].lead = f.list[i].spiral && lead
		any = any || f.list[i].spiral
	}
	for i := range ft.slices {
		ft.slices[i].lead = ft.slices[i].spiral && lead
	}
	return any
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

func (f *finder) verify(ctx context.Context) (*Result, error) {
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
	if worst.off > MaxOutline || r.FirstBead == 0 {
		return nil, f.refuse("the outline is off even in the best fit", worst)
	}
	r.Bottom, r.Top = f.list[f.first].mid()-f.list[f.first].h/2-f.at.d.Z, f.list[len(f.list)-1].z-f.at.d.Z
	r.prepare(f, low)
	return r, nil
}

// gaps looks for heights of the mesh where a bead could lie and no layer is.
func (f *finder) gaps() misfit {
	m := misfit{missing: true}
	usual := f.o.LayerHeight
	below := math.Max(f.cut.min.Z, math.Min(f.cut.min.Z+sunk, f.list[f.first].mid()-f.at.d.Z))
	for i := f.first; i <= len(f.list); i++ {
		above := f.cut.max.Z
		h := usual
		if i < len(f.list) {
			above = f.list[i].mid() - f.at.d.Z
			h = math.Max(f.list[i].h, usual)
		}
		if gap := above - below; gap > 1.6*h {
			m.worsen(f.gap(below+0.8*h, above-0.8*h, i))
		}
		below = above
	}
	return m
}

// sunk is how much of the mesh may lie under the bed, mm.
const sunk = 1.0

func (f *finder) gap(lo, hi float64, i int) misfit {
	fp := footprint{}
	step := math.Max(f.o.LayerHeight/2, (hi-lo)/50)
	m := misfit{missing: true}
	for z := lo; z <= hi; z += step {
		fp.pieces = f.cut.cut(fp.pieces[:0], z)
		fp.build()
		for k := range fp.pieces {
			q := &fp.pieces[k]
			if fp.reachable(q, 0.5, f.at.inset) && math.Abs(q.slope) < steepSlope {
				p := along(q.a, q.b, 0.5)
				off := math.Min(z-lo, hi-z) + f.o.LayerHeight
				m.worsen(misfit{off: off, missing: true, line: f.list[min(i, len(f.list)-1)].first,
					at: r3.Vec{X: p.X + f.at.d.X, Y: p.Y + f.at.d.Y, Z: z + f.at.d.Z}})
				break
			}
		}
	}
	return m
}

// refuse makes a Mismatch.
func (f *finder) refuse(why string, worst misfit) error {
	m := &Mismatch{Why: why, Deviation: worst.off, At: worst.at, Line: worst.line, Missing: worst.missing,
		Offset: f.at.d, Share: f.at.share, PartSize: r3.Sub(f.cut.max, f.cut.min)}
	if n := len(f.list); n > 0 {
		b := emptyBox()
		for i := range f.list[min(4, n/3):] {
			l := &f.list[min(4, n/3)+i]
			b.add(l.box.min)
			b.add(l.box.max)
		}
		s := b.size()
		m.FileSize = r3.Vec{X: s.X + 2*f.at.inset, Y: s.Y + 2*f.at.inset, Z: f.list[n-1].z}
	}
	return m
}

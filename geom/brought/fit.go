package brought

import (
	"cmp"
	"context"
	"math"
	"slices"

	"conewright/geom/motion"
	"conewright/geom/register"
	"conewright/geom/runlog"
	"conewright/geom/section"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Fit tells how a motion file of the user's own slicer lies over the
// warped mesh of its zone: what a run would find out on bringing it, for looking
// at before there is a run. Places are the warped mesh's: x and y those of the
// seated part on the bed, z from the warped mesh's lowest point, mm.
type Fit struct {
	Zone, File string
	// Fits is false where the file is refused: Findings then say why, and Offset,
	// Error and Heights are of the best fit that there is.
	Fits   bool
	Offset r3.Vec  // register: the file's motion less the warped mesh
	Error  float64 // greatest deviation of an outline; refused: of the worst place
	// Layers of the part, and the heights between which they print; 0 if refused.
	Layers      int
	Bottom, Top float64
	// Beads of the whole file, and those left out because they don't belong to
	// the part: skirts, brims, a raft, priming lines. LeftOut is 0 if refused.
	Beads, LeftOut int
	// FirstLine and LastLine hold the part's first and last bead. What stands
	// before and after is the file's start and end. 0 if refused.
	FirstLine, LastLine int
	// Heights are some of the file's, from below; none where it has no layers.
	// Shown is the index of the one to look at first: at half height, or where a
	// file that was refused is off the most.
	Heights []Height
	Shown   int
	// Findings are those that a run would have of the file.
	Findings runlog.Findings
}

// Height is one height of a file over the mesh's section there.
type Height struct {
	Z       float64    // top of the layer
	Section [][]r2.Vec // contours of the warped mesh half a layer lower: closed, the first point not repeated
	Outline [][]r2.Vec // what the file's outermost beads draw along it: open chains; gaps: no bead within 1.2 mm
	Beads   [][]r2.Vec // middle lines of the beads that belong to the part: open chains
	LeftOut [][]r2.Vec // of those that don't, or lie off it
	Line    float64    // width of a bead, for drawing
}

// FindFit reads and registers a motion file against one target, and does nothing
// else of a run: it writes nothing. A file that doesn't fit is no error. Errors
// are *inputerror.Error (a file that can't be read), or the context's.
func FindFit(ctx context.Context, t *Target, others Others, src Source, read motion.ReadOptions, progress func(done float64)) (*Fit, error) {
	part := func(from, to float64) func(float64) {
		if progress == nil {
			return nil
		}
		return func(done float64) { progress(from + done*(to-from)) }
	}
	out := &Fit{Zone: t.Name, File: src.Name}
	b := New(read, &out.Findings)
	r := bringing{Target: t, Source: src, others: others, shown: true}
	fit, mismatch, err := b.register(ctx, &r, part(0, 0.8))
	if err != nil {
		return nil, err
	}
	if mismatch != nil {
		return out, b.fitRefused(ctx, &r, mismatch, out)
	}
	return out, b.fitTaken(ctx, &r, fit, out, part(0.8, 1))
}

// fitRefused says what is known of a file that doesn't fit.
func (b *Files) fitRefused(ctx context.Context, r *bringing, m *register.Mismatch, out *Fit) error {
	if err := b.refuse(ctx, r, m); err != nil {
		return err
	}
	out.Offset, out.Error, out.Beads = m.Offset, m.Deviation, int(m.Stats.Beads)
	return out.draw(ctx, r.Target, m.Footprints, m.At.Z-m.Offset.Z)
}

// fitTaken says what is known of one that does.
func (b *Files) fitTaken(ctx context.Context, r *bringing, fit *register.Result, out *Fit, progress func(float64)) error {
	t := r.Target
	b.findFile(t, fit)
	if err := b.findWithin(ctx, &File{Target: t, Source: r.Source, Fit: fit}, progress); err != nil {
		return err
	}
	out.Fits, out.Offset, out.Error = true, fit.Offset, fit.Error
	out.Layers, out.Bottom, out.Top = fit.Layers, fit.Bottom, fit.Top
	out.Beads, out.LeftOut = int(fit.Stats.Beads), fit.OffPart
	out.FirstLine, out.LastLine = fit.FirstBead, fit.LastBead
	if n := fit.OffPart; n > 0 {
		b.find(runlog.Note, "off-part", t.Name, 0, [3]float64{}, "%d beads outside the part's footprint are left out", n)
	}
	return out.draw(ctx, t, fit.Footprints, (fit.Bottom+fit.Top)/2)
}

// findWithin reads the file as a run does and lets nothing of it pass: what a
// run would find in it.
func (b *Files) findWithin(ctx context.Context, f *File, progress func(float64)) error {
	in, err := f.Source.Open()
	if err != nil {
		return err
	}
	defer in.Close()
	opt := b.read
	opt.Progress, opt.Size = progress, f.Source.Size
	through := b.Pass(f, false, func(*motion.Event) error { return nil })
	if _, err := motion.Read(ctx, in, opt, through.Event); err != nil {
		return err
	}
	through.Report()
	return nil
}

// draw fills in the heights; at is the one to look at first.
func (out *Fit) draw(ctx context.Context, t *Target, list []register.Footprint, at float64) error {
	if len(list) == 0 {
		return nil
	}
	slices.SortStableFunc(list, func(a, b register.Footprint) int { return cmp.Compare(a.Mid, b.Mid) })
	mids := make([]float64, len(list))
	for i := range list {
		mids[i] = list[i].Mid
	}
	sections, err := section.Sections(ctx, t.Warped, mids)
	if err != nil {
		return err
	}
	best := math.Inf(1)
	for i := range list {
		p := &list[i]
		h := Height{Z: p.Z, Section: sections[i].Contours, Line: t.LineWidth}
		h.Outline = p.Outline(h.Section)
		h.Beads, h.LeftOut = p.Beads()
		out.Heights = append(out.Heights, h)
		if off := math.Abs(p.Z - at); off < best && p.On > 0 {
			best, out.Shown = off, i
		}
	}
	return nil
}

package job

import (
	"cmp"
	"context"
	"io"
	"math"
	"os"
	"slices"
	"strings"

	"conewright/geom/motion"
	"conewright/geom/register"
	"conewright/geom/shell"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// BroughtFit tells how a motion file of the user's own slicer lies over the
// warped mesh of its zone: what a run would find out on bringing it, for looking
// at before there is a run. Places are the warped mesh's: x and y those of the
// seated part on the bed, z from the warped mesh's lowest point, mm.
type BroughtFit struct {
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
	Heights []FitHeight
	Shown   int
	// Findings are those that a run would have of the file.
	Findings []Finding
}

// FitHeight is one height of a file over the mesh's section there.
type FitHeight struct {
	Z       float64    // top of the layer
	Section [][]r2.Vec // contours of the warped mesh half a layer lower: closed, the first point not repeated
	Outline [][]r2.Vec // what the file's outermost beads draw along it: open chains; gaps: no bead within 1.2 mm
	Beads   [][]r2.Vec // middle lines of the beads that belong to the part: open chains
	LeftOut [][]r2.Vec // of those that don't, or lie off it
	Line    float64    // width of a bead, for drawing
}

// FitOptions are the choices of FitBrought; the zero value works.
type FitOptions struct {
	// Regions are the setup's as Divide made them, perhaps with their warped
	// meshes, if they are at hand; they aren't changed. Empty: they are made.
	Regions  []*Region
	Progress func(done float64) // 0 to 1
}

// FitBrought reads and registers a motion file against one zone's warped mesh,
// and does nothing else of a run: it writes nothing. A file that doesn't fit is
// no error. Errors are *InputError (the part, the zones, the zone's name, a file
// that can't be read), or the context's.
func FitBrought(ctx context.Context, s *Setup, zone, file string, o FitOptions) (*BroughtFit, error) {
	r := &run{setup: s, result: &Result{Setup: s, Log: &Log{}}}
	g, err := r.fitRegion(ctx, zone, o.Regions)
	if err != nil {
		return nil, err
	}
	b := bringing{region: g, file: file, shown: true, open: func() (io.ReadCloser, error) { return openBrought(file) }}
	if err := checkKind(file); err != nil {
		return nil, err
	}
	part := func(from, to float64) func(float64) {
		if o.Progress == nil {
			return nil
		}
		return func(done float64) { o.Progress(from + done*(to-from)) }
	}
	fit, mismatch, err := r.register(ctx, &b, part(0, 0.8))
	if err != nil {
		return nil, err
	}
	out := &BroughtFit{Zone: zone, File: file}
	if mismatch != nil {
		err = r.fitRefused(ctx, &b, mismatch, out)
	} else {
		err = r.fitTaken(ctx, &b, fit, out, part(0.8, 1))
	}
	out.Findings = r.result.Log.Findings
	return out, err
}

func openBrought(file string) (*os.File, error) {
	in, err := os.Open(file)
	if err != nil {
		return nil, &InputError{Where: file, What: "the motion file can't be read (" + reason(err) + ")", Mend: "check the path", Err: err}
	}
	return in, nil
}

// fitRegion returns a warped copy of the zone's region, and keeps copies of all.
func (r *run) fitRegion(ctx context.Context, zone string, regions []*Region) (*Region, error) {
	if len(regions) == 0 {
		m, err := ReadModel(ctx, r.setup)
		if err != nil {
			return nil, err
		}
		if regions, err = Divide(ctx, r.setup, m); err != nil {
			return nil, err
		}
	}
	for _, g := range regions {
		own := *g
		r.result.Regions = append(r.result.Regions, &own)
	}
	i := slices.IndexFunc(r.result.Regions, func(g *Region) bool { return g.Name == zone })
	if i < 0 {
		var names []string
		for _, g := range r.result.Regions {
			names = append(names, g.Name)
		}
		return nil, wrong("zone "+zone, "use one of "+strings.Join(names, ", "), "the job has no zone of that name")
	}
	return r.result.Regions[i], r.result.Regions[i].warpOnce(ctx, r.setup.Tolerance)
}

func (r *Region) warpOnce(ctx context.Context, tolerance float64) error {
	if r.Warped != nil {
		return nil
	}
	return r.Warp(ctx, tolerance)
}

// fitRefused says what is known of a file that doesn't fit.
func (r *run) fitRefused(ctx context.Context, b *bringing, m *register.Mismatch, out *BroughtFit) error {
	for _, g := range r.result.Regions { // it may fit another
		if err := g.warpOnce(ctx, r.setup.Tolerance); err != nil {
			return err
		}
	}
	if err := r.refuse(ctx, b, m); err != nil {
		return err
	}
	out.Offset, out.Error, out.Beads = m.Offset, m.Deviation, int(m.Stats.Beads)
	return out.draw(ctx, b.region, m.Footprints, m.At.Z-m.Offset.Z)
}

// fitTaken says what is known of one that does.
func (r *run) fitTaken(ctx context.Context, b *bringing, fit *register.Result, out *BroughtFit, progress func(float64)) error {
	g := b.region
	g.Offset, g.FitError = fit.Offset, fit.Error
	r.findFile(g, fit)
	r.sources = append(r.sources, source{region: g, fit: fit})
	if err := r.findWithin(ctx, b, progress); err != nil {
		return err
	}
	out.Fits, out.Offset, out.Error = true, fit.Offset, fit.Error
	out.Layers, out.Bottom, out.Top = fit.Layers, fit.Bottom, fit.Top
	out.Beads, out.LeftOut = int(fit.Stats.Beads), fit.OffPart
	out.FirstLine, out.LastLine = fit.FirstBead, fit.LastBead
	if n := fit.OffPart; n > 0 {
		r.find(Note, "off-part", g.Name, 0, [3]float64{}, "%d beads outside the part's footprint are left out", n)
	}
	return out.draw(ctx, g, fit.Footprints, (fit.Bottom+fit.Top)/2)
}

// findWithin reads the file as a run does and lets nothing of it pass: what a
// run would find in it.
func (r *run) findWithin(ctx context.Context, b *bringing, progress func(float64)) error {
	in, err := b.open()
	if err != nil {
		return err
	}
	defer in.Close()
	opt := r.readOptions()
	opt.Progress = progress
	if info, err := os.Stat(b.file); err == nil {
		opt.Size = info.Size()
	}
	through := r.fromBrought(0, func(*motion.Event) error { return nil })
	if _, err := motion.Read(ctx, in, opt, through.event); err != nil {
		return err
	}
	through.report()
	return nil
}

// draw fills in the heights; at is the one to look at first.
func (out *BroughtFit) draw(ctx context.Context, g *Region, list []register.Footprint, at float64) error {
	if len(list) == 0 {
		return nil
	}
	slices.SortStableFunc(list, func(a, b register.Footprint) int { return cmp.Compare(a.Mid, b.Mid) })
	mids := make([]float64, len(list))
	for i := range list {
		mids[i] = list[i].Mid
	}
	sections, err := shell.Sections(ctx, g.Warped, mids)
	if err != nil {
		return err
	}
	best := math.Inf(1)
	for i := range list {
		p := &list[i]
		h := FitHeight{Z: p.Z, Section: sections[i].Contours, Line: g.Numbers.LineWidth}
		h.Outline = p.Outline(h.Section)
		h.Beads, h.LeftOut = p.Beads()
		out.Heights = append(out.Heights, h)
		if off := math.Abs(p.Z - at); off < best && p.On > 0 {
			best, out.Shown = off, i
		}
	}
	return nil
}

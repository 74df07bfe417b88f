// Package brought takes planar motion that the user's own slicer made: it finds
// where its slicer moved the part, what of the file belongs to the part, and what
// of its start, its end and its words may live on.
//
// A file that doesn't fit is a finding, not an error: the user should see
// everything else.
package brought

import (
	"context"
	"errors"
	"io"

	"conewright/geom/inputerror"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/register"
	"conewright/geom/runlog"
)

// Target is the zone that a file was sliced for.
type Target struct {
	Name                   string
	Warped                 *mesh.Mesh
	LayerHeight, LineWidth float64 // of the planar layers, mm
	BeadArea               float64 // mm2
}

// Source is a motion file as it is read, once or more.
type Source struct {
	Name string                        // as its user names it
	Open func() (io.ReadCloser, error) // where it is read
	Size int64                         // bytes, for the progress alone; 0: not known
}

// Others returns the other zones that a file may fit; asked only where it doesn't
// fit its own.
type Others func(context.Context) ([]*Target, error)

// File is a brought file that fits its target.
type File struct {
	Target *Target
	Source Source
	Fit    *register.Result
	// opening and ending are what is kept of the first and the last file, if
	// start and end are the files'; else nil.
	opening *Opening
	ending  *ending
	begins  int // line where its start ends; 0: at the part's first bead
}

// Files are all brought files of one run, in printing order.
type Files struct {
	read     motion.ReadOptions
	findings *runlog.Findings
	list     []*File
	unknown  int // words that weren't understood
}

// New returns an empty list. What is found of the files goes to findings.
func New(read motion.ReadOptions, findings *runlog.Findings) *Files {
	return &Files{read: read, findings: findings}
}

// Take adds a file for a target. It returns nil, and adds findings, if the file
// doesn't fit; others are the run's other zones: it may fit one of them. Errors
// are *inputerror.Error, or the context's.
func (b *Files) Take(ctx context.Context, t *Target, others Others, src Source, progress func(float64)) (*File, error) {
	r := bringing{Target: t, Source: src, others: others}
	fit, mismatch, err := b.register(ctx, &r, progress)
	if err != nil {
		return nil, err
	}
	if mismatch != nil {
		return nil, b.refuse(ctx, &r, mismatch)
	}
	b.findFile(t, fit)
	f := &File{Target: t, Source: src, Fit: fit}
	b.list = append(b.list, f)
	return f, nil
}

// bringing is a motion file that is brought for a target.
type bringing struct {
	*Target
	Source
	others Others
	shown  bool // footprints are asked for
}

// find adds a finding about the files.
func (b *Files) find(rank, code, zone string, line int, at [3]float64, text string, args ...any) {
	b.findings.Add(rank, code, zone, line, at, text, args...)
}

func wrong(where, mend, what string, args ...any) error {
	return inputerror.New(where, mend, what, args...)
}

// register finds where a brought file lies. What doesn't fit is no error.
func (b *Files) register(ctx context.Context, r *bringing, progress func(float64)) (*register.Result, *register.Mismatch, error) {
	read := b.read
	read.Size = r.Size
	fit, err := register.Find(ctx, r.Open, r.Warped, register.Options{
		LayerHeight: r.LayerHeight, LineWidth: r.LineWidth, Read: read, Footprints: r.shown, Progress: progress,
	})
	var mismatch *register.Mismatch
	switch {
	case errors.As(err, &mismatch):
		return nil, mismatch, nil
	case err != nil && ctx.Err() != nil:
		return nil, nil, ctx.Err()
	case err != nil:
		return nil, nil, inputerror.Caused(message.Name(r.Source.Name), "slice the warped mesh again", "%s", err)
	}
	return fit, nil, nil
}

// refuse makes findings of a file that doesn't fit.
func (b *Files) refuse(ctx context.Context, r *bringing, mismatch *register.Mismatch) error {
	zone := r.Target.Name
	text := mismatch.Message()
	odd, err := b.findStrange(ctx, r.Open)
	if err != nil {
		return err
	}
	other, err := b.fitsOther(ctx, r)
	switch {
	case err != nil:
		return err
	case other != "":
		text = message.New("the file fits zone %s, not %s: bring it as the motion of zone %s", other, zone, other)
	case odd.alien():
		text = message.Join("; ", text, odd.text())
	case odd.count > 0:
		for i := range odd.list {
			b.findUnknown(zone, &odd.list[i])
		}
		text = message.New("after line %d, which isn't understood, the file's places aren't known: mend that first (%s)", odd.list[0].Line, text)
	}
	b.find(runlog.Stop, "register", zone, 0, runlog.Point(mismatch.At), "%s: %s", r.Source.Name, text)
	return nil
}

// findFile notes what is odd about a brought file as a whole.
func (b *Files) findFile(t *Target, fit *register.Result) {
	s := &fit.Stats
	if s.LooksVolumetric(t.BeadArea) {
		b.find(runlog.Warn, "volumetric", t.Name, 0, [3]float64{}, "E looks like mm3 instead of mm of filament: %.3f mm a mm of bead, %.3f are expected: turn volumetric E off in the slicer, or check that the machine expects it",
			s.Filament/s.Length, t.BeadArea/s.FilamentArea)
	}
	if s.EModeLine > 0 {
		b.find(runlog.Warn, "e-mode", t.Name, 0, [3]float64{}, "line %d of the brought file: G90 or G91 and M82 or M83 disagree about E, which machines read differently: say M82 or M83 after them", s.EModeLine)
	}
	if h := t.LayerHeight; -fit.Offset.Z > 0.6*h && fit.Bottom > 0.6*h {
		b.find(runlog.Warn, "sunk", t.Name, 0, [3]float64{}, "the brought file leaves out the lowest %.2f mm of the part, and its first layer would begin in the air: let the part stand on the bed in the slicer, and see whether the file is whole", fit.Bottom)
	}
}

// fitsOther returns the name of another zone that a file fits, or "".
func (b *Files) fitsOther(ctx context.Context, r *bringing) (string, error) {
	others, err := r.others(ctx)
	if err != nil {
		return "", err
	}
	for _, other := range others {
		_, err := register.Find(ctx, r.Open, other.Warped, register.Options{
			LayerHeight: other.LayerHeight, LineWidth: other.LineWidth, Read: b.read,
		})
		if err == nil {
			return other.Name, nil
		}
	}
	return "", nil
}

// OffPart returns how many beads are left out because they don't belong to the
// part.
func (f *File) OffPart() int {
	if f.opening != nil {
		return f.Fit.OffPart - f.opening.Beads
	}
	return f.Fit.OffPart
}

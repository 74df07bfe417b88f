package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"conewright/geom/register"
)

// bring takes a planar motion file of the user's own slicer for a region: keeps
// it unchanged, and finds where its slicer moved the part and what of it belongs
// to the part. A file that doesn't fit is a finding, not an error: the user
// should see everything else.
func (r *run) bring(ctx context.Context, g *Region, file string, progress func(float64)) error {
	if err := r.keepBrought(g, file); err != nil {
		return err
	}
	b := bringing{region: g, file: file, open: func() (io.ReadCloser, error) { return r.open(g) }}
	fit, mismatch, err := r.register(ctx, &b, progress)
	if err != nil {
		return err
	}
	if mismatch != nil {
		return r.refuse(ctx, &b, mismatch)
	}
	g.Offset, g.FitError = fit.Offset, fit.Error
	r.findFile(g, fit)
	r.sources = append(r.sources, source{region: g, fit: fit})
	r.say("register: zone %s moved by %.3f %.3f %.3f mm, outline within %.3f mm", g.Name, fit.Offset.X, fit.Offset.Y, fit.Offset.Z, fit.Error)
	return nil
}

// bringing is a motion file that is brought for a region.
type bringing struct {
	region *Region
	file   string                        // as its user names it
	open   func() (io.ReadCloser, error) // where it is read
	shown  bool                          // footprints are asked for
}

// register finds where a brought file lies. What doesn't fit is no error.
func (r *run) register(ctx context.Context, b *bringing, progress func(float64)) (*register.Result, *register.Mismatch, error) {
	g := b.region
	read := r.readOptions()
	if info, err := os.Stat(b.file); err == nil { // for the progress alone
		read.Size = info.Size()
	}
	fit, err := register.Find(ctx, b.open, g.Warped, register.Options{
		LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth, Read: read, Footprints: b.shown, Progress: progress,
	})
	var mismatch *register.Mismatch
	switch {
	case errors.As(err, &mismatch):
		return nil, mismatch, nil
	case err != nil && ctx.Err() != nil:
		return nil, nil, ctx.Err()
	case err != nil:
		return nil, nil, &InputError{Where: b.file, What: err.Error(), Mend: "slice the warped mesh again", Err: err}
	}
	return fit, nil, nil
}

// refuse makes findings of a file that doesn't fit.
func (r *run) refuse(ctx context.Context, b *bringing, mismatch *register.Mismatch) error {
	r.unfit = true
	g := b.region
	text := mismatch.Error()
	odd, err := r.findStrange(ctx, b.open)
	if err != nil {
		return err
	}
	switch other := r.fitsOther(ctx, b); {
	case other != "":
		text = fmt.Sprintf("the file fits zone %s, not %s: bring it as the motion of zone %s", other, g.Name, other)
	case odd.alien():
		text += "; " + odd.text()
	case odd.count > 0:
		for i := range odd.list {
			r.findUnknown(g, &odd.list[i])
		}
		text = fmt.Sprintf("after line %d, which isn't understood, the file's places aren't known: mend that first (%s)", odd.list[0].Line, text)
	}
	r.find(Stop, "register", g.Name, 0, point(mismatch.At), "%s: %s", b.file, text)
	return nil
}

// findFile notes what is odd about a brought file as a whole.
func (r *run) findFile(g *Region, fit *register.Result) {
	s := &fit.Stats
	if s.LooksVolumetric(g.Numbers.BeadArea) {
		r.find(Warn, "volumetric", g.Name, 0, [3]float64{}, "E looks like mm3 instead of mm of filament: %.3f mm a mm of bead, %.3f are expected: turn volumetric E off in the slicer, or check that the machine expects it",
			s.Filament/s.Length, g.Numbers.BeadArea/s.FilamentArea)
	}
	if s.EModeLine > 0 {
		r.find(Warn, "e-mode", g.Name, 0, [3]float64{}, "line %d of the brought file: G90 or G91 and M82 or M83 disagree about E, which machines read differently: say M82 or M83 after them", s.EModeLine)
	}
	if h := g.Numbers.LayerHeight; -fit.Offset.Z > 0.6*h && fit.Bottom > 0.6*h {
		r.find(Warn, "sunk", g.Name, 0, [3]float64{}, "the brought file leaves out the lowest %.2f mm of the part, and its first layer would begin in the air: let the part stand on the bed in the slicer, and see whether the file is whole", fit.Bottom)
	}
}

// keepBrought copies a brought file to where it waits, unchanged.
func (r *run) keepBrought(g *Region, file string) error {
	in, err := os.Open(file)
	if err != nil {
		return &InputError{Where: file, What: "the motion file can't be read (" + reason(err) + ")", Mend: "check the path", Err: err}
	}
	defer in.Close()
	return r.files.write(planarDir+"/"+g.Name+".gcode", func(w io.Writer) error {
		_, err := io.Copy(w, in)
		return err
	})
}

// fitsOther returns the name of another zone that a file fits, or "".
func (r *run) fitsOther(ctx context.Context, b *bringing) string {
	for _, other := range r.result.Regions {
		if other == b.region {
			continue
		}
		_, err := register.Find(ctx, b.open, other.Warped, register.Options{
			LayerHeight: other.Numbers.LayerHeight, LineWidth: other.Numbers.LineWidth, Read: r.readOptions(),
		})
		if err == nil {
			return other.Name
		}
	}
	return ""
}

// offPart returns how many beads of a region's motion are left out.
func (r *run) offPart(g *Region) int {
	for i := range r.sources {
		if s := &r.sources[i]; s.region == g && s.fit != nil {
			if s.opening != nil {
				return s.fit.OffPart - s.opening.beads
			}
			return s.fit.OffPart
		}
	}
	return 0
}

package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"conewright/geom/motion"
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
	open := func() (io.ReadCloser, error) { return r.open(g) }
	fit, err := register.Find(ctx, open, g.Warped, register.Options{
		LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth, Read: r.readOptions(), Progress: progress,
	})
	var mismatch *register.Mismatch
	switch {
	case errors.As(err, &mismatch):
		text := mismatch.Error()
		if other := r.fitsOther(ctx, g, open); other != "" {
			text = fmt.Sprintf("the file fits zone %s, not %s: give it with -motion %s=", other, g.Name, other)
		}
		r.find(Stop, "register", g.Name, mismatch.Line, point(mismatch.At), "%s: %s", file, text)
		r.unfit = true
		return nil
	case err != nil && ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return &InputError{Where: file, What: err.Error(), Mend: "slice the warped mesh again", Err: err}
	}
	g.Offset, g.FitError = fit.Offset, fit.Error
	r.sources = append(r.sources, source{region: g, fit: fit})
	r.say("register: zone %s moved by %.3f %.3f %.3f mm, outline within %.3f mm", g.Name, fit.Offset.X, fit.Offset.Y, fit.Offset.Z, fit.Error)
	return nil
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
func (r *run) fitsOther(ctx context.Context, g *Region, open func() (io.ReadCloser, error)) string {
	for _, other := range r.result.Regions {
		if other == g {
			continue
		}
		_, err := register.Find(ctx, open, other.Warped, register.Options{
			LayerHeight: other.Numbers.LayerHeight, LineWidth: other.Numbers.LineWidth, Read: r.readOptions(),
		})
		if err == nil {
			return other.Name
		}
	}
	return ""
}

// fromBrought passes on what counts of a brought file's event: of its start only
// heat, fan and message words, of its end nothing, between them everything.
// Words that aren't understood there are findings.
func (r *run) fromBrought(s *source, each func(*motion.Event) error) func(*motion.Event) error {
	return func(ev *motion.Event) error {
		switch {
		case ev.Line > s.fit.LastBead:
			return nil
		case ev.Line < s.fit.FirstBead:
			if ev.Kind == motion.Word && keptOfStart(ev.Text) {
				return each(ev)
			}
			return nil
		case ev.Kind == motion.Problem || ev.Kind == motion.Home:
			r.findUnknown(s, ev)
			return nil
		case ev.Kind == motion.Notice:
			r.find(Warn, ev.Code, s.region.Name, 0, [3]float64{}, "%s, line %d: %s", s.region.Name, ev.Line, ev.Why)
		}
		return each(ev)
	}
}

func (r *run) findUnknown(s *source, ev *motion.Event) {
	r.unknown++
	if r.unknown > maxListed {
		return
	}
	why := ev.Why
	if ev.Kind == motion.Home {
		why = "the machine would leave the part and home"
	}
	r.find(Stop, "unknown-word", s.region.Name, 0, point(ev.To), "line %d of the brought file, %q: %s", ev.Line, ev.Text, why)
}

// keptOfStart reports whether a word of a brought file's start lives on: heat,
// fan and messages. They carry the material's needs; all else of the start is
// the source machine's own (common practice, no source).
func keptOfStart(text []byte) bool {
	var m int
	if n, err := fmt.Sscanf(string(text), "M%d", &m); n != 1 || err != nil {
		if n, err = fmt.Sscanf(string(text), "m%d", &m); n != 1 || err != nil {
			return false
		}
	}
	switch m {
	case 104, 109, 140, 190, 141, 191, 106, 107, 117, 118:
		return true
	}
	return false
}

// offPart returns how many beads of a region's motion are left out.
func (r *run) offPart(g *Region) int {
	for i := range r.sources {
		if s := &r.sources[i]; s.region == g && s.fit != nil {
			return s.fit.OffPart
		}
	}
	return 0
}

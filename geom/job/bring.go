package job

import (
	"context"
	"io"
	"os"
	"slices"
	"strings"

	"conewright/geom/brought"
	"conewright/geom/message"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// bring takes a planar motion file of the user's own slicer for a region: keeps
// it unchanged, and finds where its slicer moved the part.
func (r *run) bring(ctx context.Context, g *Region, file string, progress func(float64)) error {
	if err := r.keepBrought(g, file); err != nil {
		return err
	}
	src := brought.Source{Name: file, Open: func() (io.ReadCloser, error) { return r.open(g) }, Size: fileSize(file)}
	f, err := r.brought.Take(ctx, target(g), r.others(g), src, progress)
	if err != nil {
		return err
	}
	if f == nil {
		r.unfit = true
		return nil
	}
	fit := f.Fit
	g.Offset, g.FitError = fit.Offset, fit.Error
	r.sources = append(r.sources, source{region: g, brought: f})
	r.say("register: zone %s moved by %.3f %.3f %.3f mm, outline within %.3f mm", g.Name, fit.Offset.X, fit.Offset.Y, fit.Offset.Z, fit.Error)
	return nil
}

// target returns a region as a file is brought for it.
func target(g *Region) *brought.Target {
	return &brought.Target{
		Name: g.Name, Warped: g.Warped,
		LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth, BeadArea: g.Numbers.BeadArea,
	}
}

// others returns all regions but g, warped.
func (r *run) others(g *Region) brought.Others {
	return func(ctx context.Context) (list []*brought.Target, err error) {
		for _, other := range r.result.Regions {
			if other == g {
				continue
			}
			if err := other.warpOnce(ctx, r.setup.Tolerance); err != nil {
				return nil, err
			}
			list = append(list, target(other))
		}
		return list, nil
	}
}

// fileSize is for a progress alone: 0 where it isn't known.
func fileSize(file string) int64 {
	if info, err := os.Stat(file); err == nil {
		return info.Size()
	}
	return 0
}

// keepBrought copies a brought file to where it waits, unchanged.
func (r *run) keepBrought(g *Region, file string) error {
	in, err := brought.Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	return r.files.Write(planarName(g.Name), func(w io.Writer) error {
		_, err := io.Copy(w, in)
		return err
	})
}

// offPart returns how many beads of a region's motion are left out.
func (r *run) offPart(g *Region) int {
	for i := range r.sources {
		if s := &r.sources[i]; s.region == g && s.brought != nil {
			return s.brought.OffPart()
		}
	}
	return 0
}

// start returns the text before our modes, and how much filament it leaves drawn
// back, mm.
func (r *run) start() (text string, drawn float64) {
	if text, drawn, ok := r.brought.Start(); ok {
		return text, drawn
	}
	return r.expand(r.setup.Machine.Card.Start), 0
}

// end returns the text after the last zone.
func (r *run) end(ctx context.Context, c *unwarp.Corrector) (string, error) {
	text, ok, err := r.brought.End(ctx, r.setup.Machine.Card, c.Leave, r.printed())
	if ok || err != nil {
		return text, err
	}
	return r.expand(r.setup.Machine.Card.End), nil
}

// headReach is how far the head may stand out over a print, mm, beyond its tip
// (common practice, no source).
const headReach = 30.0

// printed returns the box of all zones in plan, widened by the head.
func (r *run) printed() brought.Box {
	b := brought.EmptyBox()
	for _, g := range r.result.Regions {
		m := g.Mesh.Bounds()
		b.Add(r2.Vec{X: m.Min.X - headReach, Y: m.Min.Y - headReach})
		b.Add(r2.Vec{X: m.Max.X + headReach, Y: m.Max.Y + headReach})
	}
	return b
}

// FitOptions are the choices of FitBrought; the zero value works.
type FitOptions struct {
	// Regions are the setup's as Divide made them, perhaps with their warped
	// meshes, if they are at hand; they aren't changed. Empty: they are made.
	Regions  []*Region
	Progress func(done float64) // 0 to 1
}

// FitBrought tells how a motion file lies over one zone's warped mesh, without a
// run. Errors are *InputError (the part, the zones, the zone's name, a file that
// can't be read), or the context's.
func FitBrought(ctx context.Context, s *Setup, zone, file string, o FitOptions) (*brought.Fit, error) {
	r := newRun(s, Options{})
	g, err := r.fitRegion(ctx, zone, o.Regions)
	if err != nil {
		return nil, err
	}
	if err := brought.CheckKind(file); err != nil {
		return nil, err
	}
	src := brought.Source{Name: file, Open: func() (io.ReadCloser, error) { return brought.Open(file) }, Size: fileSize(file)}
	return brought.FindFit(ctx, target(g), r.others(g), src, r.readOptions(), o.Progress)
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
		return nil, &InputError{Where: message.New("zone %s", zone), What: message.New("the job has no zone of that name"), Mend: message.New("use one of %s", strings.Join(names, ", "))}
	}
	return r.result.Regions[i], r.result.Regions[i].warpOnce(ctx, r.setup.Tolerance)
}

func (r *Region) warpOnce(ctx context.Context, tolerance float64) error {
	if r.Warped != nil {
		return nil
	}
	return r.Warp(ctx, tolerance)
}

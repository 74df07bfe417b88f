package job

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"sync"

	"conewright/geom/machine"
	"conewright/geom/readback"
	"conewright/geom/runfolder"
)

// Estimate is what a plan comes to before any run: figures that a run's log will
// hold as well.
type Estimate struct {
	Seconds  float64 // printing time
	Filament float64 // mm
	Mass     float64 // g
	Support  float64 // volume of the beads of support, mm3
	// What of the overhang and the mid-air starts no support holds; known only where
	// the job allows support.
	UnheldArea   float64 // mm2
	UnheldStarts int
}

// estimatePrefix begins the names of estimates' temporary folders.
const estimatePrefix = "conewright-estimate-"

// sweepOnce removes, before a process' first estimate, what killed ones left.
var sweepOnce sync.Once

// EstimatePlan plans a setup's motion as a run does and times it, without checking
// it and without keeping a file. The part and its warped zones are given: they are
// known where people look at a plan; regions aren't changed. Errors are *InputError,
// one that says that a temporary file can't be written, or the context's.
func EstimatePlan(ctx context.Context, s *Setup, m *Model, regions []*Region) (*Estimate, error) {
	sweepOnce.Do(func() { runfolder.RemoveAbandoned(filepath.Join(os.TempDir(), estimatePrefix+"*")) })
	dir, err := os.MkdirTemp("", estimatePrefix)
	if err != nil {
		return nil, runfolder.Unwritable(os.TempDir(), err)
	}
	defer os.RemoveAll(dir)
	r := newRun(s, Options{Out: dir, Model: m})
	for _, g := range regions {
		own := *g
		r.result.Regions = append(r.result.Regions, &own)
	}
	if err := r.planWith(ctx, r.result.Regions); err != nil {
		return nil, err
	}
	return r.estimate(ctx)
}

// planWith does a run's steps from warped zones to the corrected motion.
func (r *run) planWith(ctx context.Context, regions []*Region) error {
	if err := r.readPart(ctx); err != nil {
		return err
	}
	if err := r.openFolder(); err != nil {
		return err
	}
	for _, g := range regions {
		r.logZone(g)
	}
	if err := r.hold(ctx); err != nil {
		return err
	}
	if err := r.motion(ctx); err != nil {
		return err
	}
	return r.correct(ctx)
}

// estimate times the corrected motion as it stands on disk, and closes the folder.
func (r *run) estimate(ctx context.Context) (*Estimate, error) {
	defer r.files.Discard()
	f, err := r.files.Open(CorrectedName)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	card := r.setup.Machine.Card
	clock := machine.NewEstimator(card)
	err = readback.Steps(stopping{ctx, f}, card, readback.Span{First: r.stats.First, Last: r.stats.Last}, func(s *readback.Step) error {
		clock.Add(s.AxisSteps(), s.Seconds)
		return nil
	})
	if err != nil {
		return nil, err
	}
	e := &Estimate{Seconds: clock.Total()}
	for i := range r.stats.Zones {
		z := &r.stats.Zones[i]
		e.Filament += z.ContactFilament + z.SupportFilament
		e.Support += z.SupportFilament * card.FilamentArea()
	}
	for _, g := range r.result.Regions {
		if g.Columns != nil {
			e.UnheldArea, e.UnheldStarts = e.UnheldArea+g.Columns.Unheld, e.UnheldStarts+len(g.Columns.UnheldStarts)
		}
	}
	e.Mass = e.Filament * card.FilamentArea() * r.setup.Material.Density / 1000
	return e, nil
}

// stopping is a reader that fails once its context has ended.
type stopping struct {
	ctx context.Context
	in  io.Reader
}

func (s stopping) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.in.Read(p)
}

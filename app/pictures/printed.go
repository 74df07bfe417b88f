package pictures

import (
	"context"
	"math"
	"os"
	"path/filepath"

	"conewright/geom/job"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// Printed is a print to be watched: what a sheet shows of it, and its motion.
type Printed struct {
	Scene Scene
	Track *Track
	// starts are the mid-air starts of the scene in the order of Input.MidAir, with the
	// second at which the first bead comes there.
	starts []reached
}

type reached struct {
	at      r3.Vec
	seconds float64
}

// Print makes a setup's motion to be watched, and leaves no file behind. What would
// forbid the motion on a machine doesn't keep it from being watched. model is the
// setup's part; progress hears of the stages of a run and may be nil.
func Print(ctx context.Context, setup *job.Setup, model *job.Model, progress func(stage string, done float64)) (*Printed, error) {
	dir, err := os.MkdirTemp("", "conewright-growth-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "run")
	r, err := job.Run(ctx, setup, job.Options{Out: out, Accept: true, Model: model, Progress: progress})
	if err != nil {
		return nil, err
	}
	track, err := ReadTrack(ctx, filepath.Join(out, job.CorrectedName), setup, r.Log.Motion.Seconds)
	if err != nil {
		return nil, err
	}
	track.Hangs = r.Hangs
	p := &Printed{Track: track, Scene: Scene{Setup: setup, Model: r.Model, Regions: r.Regions, Log: r.Log, Title: Title(setup)}}
	for _, at := range p.Scene.Input().MidAir {
		p.starts = append(p.starts, reached{at, track.reaches(at)})
	}
	return p, nil
}

// Input returns what a sheet shows at a moment, seconds from the start: nothing that
// hangs is marked before it is laid.
func (p *Printed) Input(seconds float64) render.Input {
	in := p.Scene.Input()
	in.Overhang, in.Bridged, in.Findings, in.MidAir = nil, nil, nil, nil
	for _, s := range p.starts {
		if s.seconds <= seconds {
			in.MidAir = append(in.MidAir, s.at)
		}
	}
	return in
}

// reachedWithin is how near a bead's tip comes to the place where a shell begins, mm:
// half a bead to the side and a layer over it, with some room.
const reachedWithin = 1.0

// reaches returns the second at which the first bead is laid beside a place; infinite:
// none is.
func (t *Track) reaches(at r3.Vec) float64 {
	for i := 1; i < len(t.points); i++ {
		if t.points[i].lays && fromSegment(at, t.tips[i-1], t.tips[i]) <= reachedWithin {
			return float64(t.points[i].time)
		}
	}
	return math.Inf(1)
}

// fromSegment returns the distance of a place from a segment.
func fromSegment(p, a, b r3.Vec) float64 {
	along := r3.Sub(b, a)
	share := 0.0
	if long := r3.Norm2(along); long > 0 {
		share = min(max(r3.Dot(r3.Sub(p, a), along)/long, 0), 1)
	}
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(share, along))))
}

// LevelLayers returns a setup with all its zones in level layers.
func LevelLayers(s *job.Setup) *job.Setup {
	level := s.Clone()
	for _, leaf := range level.Leaves() {
		leaf.Field = &job.Field{Kind: job.KindLevel}
	}
	return level
}

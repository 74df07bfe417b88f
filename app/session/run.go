package session

import (
	"context"
	"errors"
	"path/filepath"
	"sync"
	"time"

	"conewright/app/pictures"
	"conewright/geom/job"
)

// Run is the newest run, under way or over. The zero value: none yet.
type Run struct {
	Setup  *job.Setup // what it ran on
	Out    string     // folder
	Active bool
	Begun  time.Time
	Took   time.Duration
	Stage  string  // of the job, untranslated
	Done   float64 // 0..1 of the stage
	Result *job.Result
	Err    error // nil, or why there is no (full) result

	id     int
	cancel context.CancelFunc
	done   chan struct{} // closed when nothing is written any more
}

// Stopped reports whether a finding kept the motion file from being written.
func (r *Run) Stopped() bool { return errors.Is(r.Err, job.ErrStopped) }

// Cancelled reports whether the user ended it.
func (r *Run) Cancelled() bool { return errors.Is(r.Err, context.Canceled) }

// Current reports whether the run's results are those of a setup.
func (r *Run) Current(s *job.Setup) bool { return r.Setup == s && r.Result != nil }

// weights are the shares of a run's time that its stages take, roughly: measured
// on the demo jobs. They only serve the progress bar.
var weights = []struct {
	stage string
	share float64
}{{"part", 1}, {"zones", 1}, {"warp", 2}, {"support", 2}, {"motion", 40}, {"unwarp", 10}, {"readback", 9}, {"clearance", 32}, {"files", 3}}

// Total returns how much of the whole run is done, 0..1.
func (r *Run) Total() float64 {
	before, all, known := 0.0, 0.0, false
	for _, w := range weights {
		if w.stage == r.Stage {
			before, known = all+w.share*r.Done, true
		}
		all += w.share
	}
	if !known {
		return 0
	}
	return before / all
}

// Run returns the newest run.
func (s *Session) Run() *Run { return &s.run }

// OutDir returns the folder that a run writes to: beside the job or part, named
// after it.
func (s *Session) OutDir() string {
	base := s.path
	if base == "" {
		base = s.Setup().PartPath()
	}
	return filepath.Join(filepath.Dir(base), s.Name()+"-run")
}

// RunOptions is what a run takes beside the setup.
type RunOptions struct {
	Out    string            // folder
	Motion map[string]string // planar motion files by zone
	Accept bool
}

// Start runs the present setup in the background, unless a run is under way.
func (s *Session) Start(o RunOptions) {
	if s.history == nil || s.run.Active {
		return
	}
	ctx, cancel := context.WithCancel(context.Background())
	setup := s.history.Now()
	before, done := s.run.done, make(chan struct{})
	s.runs++
	id := s.runs
	var shown *job.Model // the run prints what the sheet shows
	if s.facts != nil && s.facts.Setup == setup {
		shown = s.facts.Model
	}
	s.run = Run{Setup: setup, Out: o.Out, Active: true, Begun: time.Now(), id: id, cancel: cancel, done: done}
	go func() {
		defer close(done)
		if before != nil {
			<-before // two runs never write to one folder at a time
		}
		result, err := job.Run(ctx, setup, job.Options{
			Out: o.Out, Motion: o.Motion, Accept: o.Accept, Model: shown,
			Progress: s.throttled(id),
			Pictures: pictures.Of,
		})
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		cancel()
		s.post(func() { s.finished(id, result, err) })
	}()
	s.changed()
}

// Cancel ends the run under way, if any. No half-written file stays behind.
func (s *Session) Cancel() {
	if s.run.cancel != nil {
		s.run.cancel()
	}
}

// progressEvery is how often progress is shown: smooth to the eye, cheap.
const progressEvery = 80 * time.Millisecond

// throttled returns the progress function of a run.
func (s *Session) throttled(id int) func(string, float64) {
	return s.paced(func(stage string, done float64) {
		if s.run.Active && s.run.id == id {
			s.run.Stage, s.run.Done = stage, done
			s.changed()
		}
	})
}

// paced returns a progress function that any goroutine may call as often as it
// likes; show hears of it on the event loop, now and then.
func (s *Session) paced(show func(stage string, done float64)) func(string, float64) {
	var mu sync.Mutex
	var last time.Time
	var lastStage string
	return func(stage string, done float64) {
		mu.Lock()
		defer mu.Unlock()
		if stage == lastStage && done < 1 && time.Since(last) < progressEvery {
			return
		}
		last, lastStage = time.Now(), stage
		s.post(func() { show(stage, done) })
	}
}

func (s *Session) finished(id int, result *job.Result, err error) {
	if s.run.id != id || !s.run.Active {
		return
	}
	s.run.Active = false
	s.run.Result, s.run.Err = result, err
	s.run.Took = time.Since(s.run.Begun)
	s.run.cancel = nil
	s.changed()
}

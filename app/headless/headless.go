package headless

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"

	"conewright/app/pictures"
	"conewright/geom/job"
)

// Exit statuses of the program.
const (
	Done        = 0
	Unusable    = 2 // the input can't be used
	Stopped     = 3 // a finding of rank stop kept the motion file from being written
	Interrupted = 130
)

// Main does what windowless arguments ask for and returns the exit status. What
// is done goes to stdout, a line a stage; progress, and the one line that says
// why something can't be used, to stderr.
func Main(ctx context.Context, a Args, stdout, stderr io.Writer) int {
	if a.Jobs != "" {
		return runAll(ctx, a, stdout, stderr)
	}
	err := do(ctx, a, stdout, stderr, func(*job.Result) {})
	status := statusOf(ctx, err)
	switch status {
	case Done:
	case Interrupted:
		fmt.Fprintln(stderr, "interrupted: nothing was written")
	default:
		fmt.Fprintln(stderr, line(err))
	}
	return status
}

// statusOf returns the exit status that an error stands for.
func statusOf(ctx context.Context, err error) int {
	switch {
	case err == nil:
		return Done
	case ctx.Err() != nil:
		return Interrupted
	case errors.Is(err, job.ErrStopped):
		return Stopped
	}
	return Unusable
}

// line makes one line of an error, whatever it holds.
func line(err error) string { return strings.Join(strings.Fields(err.Error()), " ") }

// do does what windowless arguments ask for; ended hears the result of a run.
func do(ctx context.Context, a Args, stdout, stderr io.Writer, ended func(*job.Result)) error {
	setup, err := job.Load(a.Job)
	if err != nil {
		return err
	}
	switch {
	case a.Suggest:
		return suggestPlans(ctx, setup, a, stdout, stderr)
	case a.Draw != "":
		return drawOnly(ctx, setup, a, stdout)
	}
	result, err := run(ctx, setup, a, stdout, stderr)
	if result != nil {
		ended(result)
	}
	return err
}

func run(ctx context.Context, setup *job.Setup, a Args, stdout, stderr io.Writer) (*job.Result, error) {
	progress := &progress{out: stderr, shown: -1}
	result, err := job.Run(ctx, setup, job.Options{
		Out: a.Out, Motion: a.Motion, Accept: a.Accept,
		Progress: progress.show,
		Summary:  func(text string) { fmt.Fprintln(stdout, text) },
		Pictures: pictures.Of,
	})
	if result == nil {
		return nil, err
	}
	for _, text := range result.Log.Unchecked {
		fmt.Fprintln(stdout, "not checked:", text)
	}
	for _, f := range result.Log.Findings {
		fmt.Fprintln(stdout, findingLine(&f))
	}
	if errors.Is(err, job.ErrStopped) {
		return result, fmt.Errorf("corrected.gcode was not written: %w (%s)", err, stops(result.Log.Findings))
	}
	return result, err
}

func findingLine(f *job.Finding) string {
	text := f.Rank + " " + f.Code + ": " + f.Text
	if f.Zone != "" {
		text = f.Rank + " " + f.Code + ", zone " + f.Zone + ": " + f.Text
	}
	return strings.Join(strings.Fields(text), " ")
}

// stops lists the codes of the findings that stop, each once.
func stops(findings []job.Finding) string {
	var codes []string
	seen := map[string]bool{}
	for _, f := range findings {
		if f.Rank == job.Stop && !seen[f.Code] {
			seen[f.Code] = true
			codes = append(codes, f.Code)
		}
	}
	return strings.Join(codes, ", ")
}

// progress writes how far stages are, a line each tenth.
type progress struct {
	mu    sync.Mutex
	out   io.Writer
	stage string
	shown int
}

func (p *progress) show(stage string, done float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	tenth := int(done * 10)
	if stage == p.stage && tenth <= p.shown {
		return
	}
	p.stage, p.shown = stage, tenth
	fmt.Fprintf(p.out, "%s %d %%\n", stage, tenth*10)
}

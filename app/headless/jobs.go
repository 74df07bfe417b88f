package headless

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"conewright/geom/job"
	"conewright/geom/parallel"
)

// runAll runs every job of a folder, as many side by side as there are cores, each
// into the folder of its name. It prints one line a job as the jobs end, and a
// summary. A job that can't be used stops no other. The status is the greatest.
func runAll(ctx context.Context, a Args, stdout, stderr io.Writer) int {
	names, err := jobNames(a.Jobs)
	if err != nil {
		fmt.Fprintln(stderr, line(err))
		return Unusable
	}
	began := time.Now()
	status := make([]int, len(names))
	var print sync.Mutex
	_ = parallel.For(context.WithoutCancel(ctx), len(names), func(i int) error { // a job that fails stops no other
		findings, err := runOne(ctx, names[i], a)
		status[i] = statusOf(ctx, err)
		print.Lock()
		defer print.Unlock()
		fmt.Fprintln(stdout, jobLine(names[i], status[i], err, findings))
		return nil
	})
	greatest, done := Done, 0
	for _, s := range status {
		greatest = max(greatest, s)
		if s == Done {
			done++
		}
	}
	fmt.Fprintf(stdout, "jobs: %d of %d done in %.1f s\n", done, len(names), time.Since(began).Seconds())
	return greatest
}

// jobEnding is how the name of a job's file ends.
const jobEnding = ".json"

// mostJobs bounds how many jobs of a folder are run.
const mostJobs = 10_000

// jobNames lists the jobs of a folder without their ending, sorted.
func jobNames(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("-jobs %s: can't be read (%w): name a folder of job files", dir, err)
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), jobEnding); ok && name != "" && !e.IsDir() {
			names = append(names, name)
		}
	}
	switch {
	case len(names) == 0:
		return nil, fmt.Errorf("-jobs %s: holds no job file (*.json): name a folder of job files", dir)
	case len(names) > mostJobs:
		return nil, fmt.Errorf("-jobs %s: %d jobs are more than %d: divide them among folders", dir, len(names), mostJobs)
	}
	return names, nil
}

// runOne runs the job of a name and returns what was found.
func runOne(ctx context.Context, name string, a Args) ([]job.Finding, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	one := Args{Job: filepath.Join(a.Jobs, name+jobEnding), Out: filepath.Join(a.Out, name), Accept: a.Accept}
	var findings []job.Finding
	err := do(ctx, one, io.Discard, io.Discard, func(r *job.Result) { findings = r.Log.Findings })
	return findings, err
}

// jobLine says in one line what came of a job.
func jobLine(name string, status int, err error, findings []job.Finding) string {
	if err != nil {
		return fmt.Sprintf("%s: status %d: %s", name, status, line(err))
	}
	warnings := 0
	for i := range findings {
		if findings[i].Rank == job.Warn {
			warnings++
		}
	}
	return fmt.Sprintf("%s: done, %d warnings, %d findings", name, warnings, len(findings))
}

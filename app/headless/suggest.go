package headless

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"conewright/geom/job"
)

// suggestPlans writes suggested plans as job files, best first.
func suggestPlans(ctx context.Context, setup *job.Setup, a Args, stdout, stderr io.Writer) error {
	progress := &progress{out: stderr, shown: -1}
	found, err := job.Suggest(ctx, setup, a.Out, func(done float64) { progress.show("suggest", done) })
	if err != nil {
		return err
	}
	for i, s := range found {
		f := &s.Plan.Figures
		fmt.Fprintf(stdout, "%d: %s (%d zones, overhang %.0f mm2, %d mid-air starts, %d shells)\n",
			i+1, s.Plan.Why, f.Zones, f.OverhangArea, f.MidairStarts, f.Shells)
	}
	fmt.Fprintln(stdout, "suggest:", filepath.Join(a.Out, job.SuggestDir, job.SuggestName))
	return nil
}

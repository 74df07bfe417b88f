package planner

import (
	"context"

	"conewright/geom/parallel"
)

// inParallel is parallel.For that tells its progress.
func inParallel(ctx context.Context, n int, progress func(done float64), work func(i int) error) error {
	return parallel.Loop{Progress: progress}.Run(ctx, n, func() func(int) error { return work })
}

// stages divides progress into parts that take the given shares of the whole.
func stages(progress func(done float64), shares ...float64) func(stage int) func(done float64) {
	return func(stage int) func(float64) {
		if progress == nil {
			return func(float64) {}
		}
		start := 0.0
		for _, s := range shares[:stage] {
			start += s
		}
		return func(done float64) { progress(start + shares[stage]*done) }
	}
}

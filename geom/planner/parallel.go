package planner

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// inParallel calls work for 0 <= i < n on all cores and returns the error of
// the lowest i that failed, or ctx's. Results must go to places of their own,
// so that the outcome doesn't depend on who was faster.
func inParallel(ctx context.Context, n int, progress func(done float64), work func(i int) error) error {
	var claimed, done atomic.Int64
	var failed atomic.Bool
	errs := make([]error, n)
	var report sync.Mutex
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for !failed.Load() && ctx.Err() == nil {
				i := int(claimed.Add(1)) - 1
				if i >= n {
					return
				}
				if errs[i] = work(i); errs[i] != nil {
					failed.Store(true)
				}
				report.Lock()
				progress(float64(done.Add(1)) / float64(n))
				report.Unlock()
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
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

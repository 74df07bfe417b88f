package parallel

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Loop is a loop over 0 <= i < n whose rounds don't depend on each other. The
// zero value runs on all cores.
type Loop struct {
	Workers  int                // goroutines at most; 0: one a core
	Progress func(done float64) // told the share that is done, 0..1, by one goroutine at a time; nil: nobody
}

// For calls do(i) for 0 <= i < n on all cores and returns the error of the
// lowest i that failed, else ctx's. After a failure or the end of ctx no further
// round begins. A result must go to a place of its own, so that the outcome
// doesn't depend on which goroutine was faster.
func For(ctx context.Context, n int, do func(i int) error) error {
	return Loop{}.Run(ctx, n, func() func(int) error { return do })
}

// Run is For with work space: worker makes the function of one goroutine,
// which may keep what it needs from round to round.
func (l Loop) Run(ctx context.Context, n int, worker func() func(i int) error) error {
	workers := l.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	r := rounds{n: n, failedAt: n, progress: l.Progress}
	if workers = min(workers, n); workers == 1 {
		r.work(ctx, worker()) // on the caller's goroutine
	} else {
		var group sync.WaitGroup
		for range workers {
			group.Go(func() { r.work(ctx, worker()) })
		}
		group.Wait()
	}
	if r.err != nil {
		return r.err
	}
	return ctx.Err()
}

// rounds hands out the rounds of one loop.
type rounds struct {
	n        int
	claimed  atomic.Int64
	failed   atomic.Bool
	progress func(float64)

	mu       sync.Mutex // guards what follows
	done     int
	failedAt int // lowest round that failed
	err      error
}

// work does rounds until none is left. Rounds are claimed in ascending order and
// a claimed round is always finished, so the lowest failure is always found.
func (r *rounds) work(ctx context.Context, do func(i int) error) {
	for !r.failed.Load() && ctx.Err() == nil {
		i := int(r.claimed.Add(1)) - 1
		if i >= r.n {
			return
		}
		err := do(i)
		if err == nil && r.progress == nil {
			continue
		}
		r.end(i, err)
	}
}

func (r *rounds) end(i int, err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if err != nil {
		r.failed.Store(true)
		if i < r.failedAt {
			r.failedAt, r.err = i, err
		}
	}
	if r.done++; r.progress != nil {
		r.progress(float64(r.done) / float64(r.n))
	}
}

// Stretch is a length for Spans where a round takes some nanoseconds: enough to
// hide the cost of handing out.
const Stretch = 8192

// Spans calls do for stretches from <= k < to of length size (the last may be
// shorter) that together are 0..n, on all cores; i numbers them from 0. The
// stretches are the same on every machine.
func Spans(n, size int, do func(i, from, to int)) {
	spans := SpanCount(n, size)
	Loop{}.Run(context.Background(), spans, func() func(int) error {
		return func(i int) error {
			do(i, i*size, min((i+1)*size, n))
			return nil
		}
	})
}

// SpanCount is the number of stretches into which Spans divides 0..n.
func SpanCount(n, size int) int { return (n + size - 1) / size }

// Do calls all tasks, each on a goroutine of its own but for the last, and
// returns when they have ended.
func Do(tasks ...func()) {
	if len(tasks) == 0 {
		return
	}
	var group sync.WaitGroup
	last := len(tasks) - 1
	for _, task := range tasks[:last] {
		group.Go(task)
	}
	tasks[last]()
	group.Wait()
}

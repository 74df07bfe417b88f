package warp

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// spanLen is how many elements a goroutine takes at once: enough to hide the
// cost of handing out, few enough to share evenly and to notice a cancel.
const spanLen = 8192

// inSpans runs work over the spans of 0..n, several at a time, and returns its
// results in the order of the spans.
func inSpans[T any](n int, work func(lo, hi int) T) []T {
	spans := (n + spanLen - 1) / spanLen
	results := make([]T, spans)
	inParallel(context.Background(), spans, func(s int) error {
		results[s] = work(s*spanLen, min((s+1)*spanLen, n))
		return nil
	})
	return results
}

// inParallel runs job(0), ..., job(n-1), several at a time, until one fails or
// ctx ends. Where several fail it returns the error of the first of them that
// was noticed.
func inParallel(ctx context.Context, n int, job func(i int) error) error {
	var next atomic.Int64
	var failed atomic.Pointer[error]
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for failed.Load() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				err := ctx.Err()
				if err == nil {
					err = job(i)
				}
				if err != nil {
					failed.CompareAndSwap(nil, &err)
					return
				}
			}
		})
	}
	group.Wait()
	if err := failed.Load(); err != nil {
		return *err
	}
	return nil
}

// Package spread shares loops out to processors.
package spread

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// block is how many steps a processor takes at a time: enough to make the
// taking cheap.
const block = 8192

// Over calls work for stretches that together are 0..n, several at a time.
// Results that are put down by index don't depend on the number of processors.
func Over(n int, work func(from, to int)) {
	Blocks(n, func(_, from, to int) { work(from, to) })
}

// Count returns into how many blocks Blocks cuts n.
func Count(n int) int { return (n + block - 1) / block }

// Blocks is Over that tells which block a stretch is. The cuts are the same on
// every machine.
func Blocks(n int, work func(i, from, to int)) {
	blocks := Count(n)
	workers := min(runtime.GOMAXPROCS(0), blocks)
	if workers <= 1 {
		for i := range blocks {
			work(i, i*block, min((i+1)*block, n))
		}
		return
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < blocks; i = int(next.Add(1)) - 1 {
				work(i, i*block, min((i+1)*block, n))
			}
		})
	}
	wait.Wait()
}

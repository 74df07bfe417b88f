package parallel_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"conewright/geom/parallel"
)

func TestForDoesEachRoundOnce(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 7} {
		for _, n := range []int{0, 1, 2, 1000} {
			times := make([]int32, n)
			var told atomic.Int64
			l := parallel.Loop{Workers: workers, Progress: func(float64) { told.Add(1) }}
			err := l.Run(context.Background(), n, func() func(int) error {
				return func(i int) error { atomic.AddInt32(&times[i], 1); return nil }
			})
			if err != nil || told.Load() != int64(n) {
				t.Fatalf("%d workers, %d rounds: error %v, progress told %d times", workers, n, err, told.Load())
			}
			for i, k := range times {
				if k != 1 {
					t.Fatalf("%d workers: round %d of %d was done %d times", workers, i, n, k)
				}
			}
		}
	}
}

func TestForReturnsTheLowestError(t *testing.T) {
	for trial := range 200 {
		low := 3 + trial%50
		err := parallel.For(context.Background(), 200, func(i int) error {
			if i == low || i == low+1 || i > 100 {
				return fmt.Errorf("round %d", i)
			}
			return nil
		})
		if want := fmt.Sprintf("round %d", low); err == nil || err.Error() != want {
			t.Fatalf("got %v, want %s", err, want)
		}
	}
}

func TestForEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var begun atomic.Int64
	err := parallel.For(ctx, 1_000_000, func(int) error {
		if begun.Add(1) == 10 {
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || begun.Load() > 100 {
		t.Fatalf("error %v after %d rounds", err, begun.Load())
	}
}

func TestSpansCoverAll(t *testing.T) {
	for _, n := range []int{0, 1, 9, 10, 11, 95} {
		seen := make([]int32, n)
		parallel.Spans(n, 10, func(i, from, to int) {
			if from != 10*i || to > n {
				t.Errorf("span %d is %d..%d", i, from, to)
			}
			for k := from; k < to; k++ {
				atomic.AddInt32(&seen[k], 1)
			}
		})
		for k, s := range seen {
			if s != 1 {
				t.Fatalf("n = %d: %d was met %d times", n, k, s)
			}
		}
	}
}

func TestPipeKeepsOrder(t *testing.T) {
	const items = 10_000
	p := parallel.Produce(3, func() []int { return nil }, func(p *parallel.Pipe[[]int]) error {
		for i := 0; i < items; {
			b, err := p.Empty()
			if err != nil {
				return err
			}
			b = b[:0]
			for ; len(b) < 7 && i < items; i++ {
				b = append(b, i)
			}
			p.Send(b)
		}
		return nil
	})
	next := 0
	for b, ok := p.Receive(); ok; b, ok = p.Receive() {
		for _, v := range b {
			if v != next {
				t.Fatalf("got %d, want %d", v, next)
			}
			next++
		}
		p.Return(b)
	}
	if err := p.Close(); err != nil || next != items {
		t.Fatalf("%d items, error %v", next, err)
	}
}

func TestPipeStopsItsProducer(t *testing.T) {
	p := parallel.Produce(2, func() int { return 0 }, func(p *parallel.Pipe[int]) error {
		for {
			b, err := p.Empty()
			if err != nil {
				return err
			}
			p.Send(b)
		}
	})
	p.Receive()
	if err := p.Close(); err != nil {
		t.Fatalf("a producer that was stopped failed: %v", err)
	}
}

func TestPipeTellsTheErrorOfEitherSide(t *testing.T) {
	broken := errors.New("broken")
	p := parallel.Produce(2, func() int { return 0 }, func(*parallel.Pipe[int]) error { return broken })
	if _, ok := p.Receive(); ok {
		t.Fatal("received from a producer that sent nothing")
	}
	if err := p.Close(); !errors.Is(err, broken) {
		t.Fatalf("producer's error: %v", err)
	}
	p = parallel.Consume(2, func() int { return 0 }, func(p *parallel.Pipe[int]) error {
		p.Receive()
		return broken
	})
	var err error
	for range 4 { // more than there are batches: the producer must not hang
		var b int
		if b, err = p.Empty(); err != nil {
			break
		}
		p.Send(b)
	}
	if !errors.Is(err, broken) || !errors.Is(p.Close(), broken) {
		t.Fatalf("consumer's error: %v, then %v", err, p.Close())
	}
}

// Loops of goroutines live here alone, and so does the polygon library in
// geom/polygon, which guards against its panics; tests may hold others against it.
func TestSharedIdeasHaveOneDoor(t *testing.T) {
	for _, rule := range []struct {
		text, home, use string
		tests           bool // tests may use it
	}{
		{"sync." + "WaitGroup", "../parallel", "conewright/geom/parallel", false},
		{"ctessum/" + "go.clipper", "../polygon", "conewright/geom/polygon", true},
	} {
		at := map[string]bool{}
		for _, root := range []string{"..", "../../render"} {
			err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || rule.tests && strings.HasSuffix(path, "_test.go") {
					return err
				}
				text, err := os.ReadFile(path)
				if strings.Contains(string(text), rule.text) {
					at[filepath.ToSlash(filepath.Dir(path))] = true
				}
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		if !at[rule.home] {
			t.Errorf("%s isn't found in %s: does this test still see anything?", rule.text, rule.home)
		}
		delete(at, rule.home)
		for dir := range at {
			t.Errorf("%s stands in %s: use %s", rule.text, dir, rule.use)
		}
	}
}

package readback

import (
	"context"
	"io"
)

// batch is what the reading side hands over at once: enough bead steps that the
// hand-over costs nothing beside them.
type batch struct {
	steps []Step
	err   error // why reading stopped after them
}

const (
	batchSteps = 1024
	batches    = 4
)

// readSteps reads a corrected file on a goroutine of its own, takes its figures
// by the meter, and sends the steps that lay beads. Batches come back through
// free. The meter is the caller's again once the channel is closed.
func readSteps(ctx context.Context, corrected io.Reader, m *meter, span Span) (full <-chan *batch, free chan<- *batch) {
	out, back := make(chan *batch, batches), make(chan *batch, batches)
	for range batches {
		back <- &batch{steps: make([]Step, 0, batchSteps)}
	}
	go func() {
		defer close(out)
		b := <-back
		b.err = Steps(corrected, m.card, span, func(s *Step) error {
			m.add(s)
			if !s.Lays() {
				if s.Line&0xfff == 0 {
					return ctx.Err()
				}
				return nil
			}
			if b.steps = append(b.steps, *s); len(b.steps) < batchSteps {
				return nil
			}
			out <- b // never full: there are no more batches than places
			select {
			case b = <-back:
				b.steps = b.steps[:0]
				return nil
			case <-ctx.Done():
				b = &batch{}
				return ctx.Err()
			}
		})
		out <- b
	}()
	return out, back
}

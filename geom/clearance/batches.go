package clearance

import "context"

const (
	batchSteps = 1024
	batches    = 4
)

// batch is what one goroutine hands to another at once: enough that the
// hand-over costs nothing beside it.
type batch struct {
	steps []Step
	err   error // why the motion ended after them
}

// ahead runs through a motion on a goroutine of its own and calls each with its
// steps on the caller's, in order. The step is each's only until it returns.
func (m *Motion) ahead(ctx context.Context, each func(*Step) error) error {
	ctx, cancel := context.WithCancel(ctx)
	full, free := make(chan *batch, batches), make(chan *batch, batches)
	for range batches {
		free <- &batch{steps: make([]Step, 0, batchSteps)}
	}
	go func() {
		defer close(full)
		b := <-free
		b.err = m.Each(func(s *Step) error {
			if b.steps = append(b.steps, *s); len(b.steps) < batchSteps {
				return nil
			}
			full <- b // never full: there are no more batches than places
			select {
			case b = <-free:
				b.steps = b.steps[:0]
				return nil
			case <-ctx.Done():
				b = &batch{}
				return ctx.Err()
			}
		})
		full <- b
	}()
	err := drain(ctx, full, free, each)
	cancel()
	for range full { // until the goroutine is done with the motion
	}
	return err
}

func drain(ctx context.Context, full <-chan *batch, free chan<- *batch, each func(*Step) error) error {
	for b := range full {
		for i := range b.steps {
			if err := each(&b.steps[i]); err != nil {
				return err
			}
		}
		if b.err != nil {
			return b.err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		free <- b
	}
	return ctx.Err()
}

package clearance

import (
	"context"

	"conewright/geom/parallel"
)

const (
	// batchSteps is how many steps are handed over at once: enough that the
	// hand-over costs nothing beside them.
	batchSteps = 1024
	batches    = 4
)

// ahead runs through a motion on a goroutine of its own and calls each with its
// steps on the caller's, in order. The step is each's only until it returns.
func (m *Motion) ahead(ctx context.Context, each func(*Step) error) error {
	steps := parallel.Produce(batches, parallel.NoItems[Step], func(p *parallel.Pipe[[]Step]) error {
		out := parallel.SendTo(p, batchSteps)
		err := m.Each(func(s *Step) error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return out.Send(s)
		})
		out.Flush()
		return err
	})
	if err := parallel.Each(steps, each); err != nil {
		steps.Close()
		return err
	}
	return steps.Close()
}

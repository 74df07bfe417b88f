package readback

import (
	"context"
	"io"

	"conewright/geom/parallel"
)

const (
	// batchSteps is how many bead steps are handed over at once: enough that the
	// hand-over costs nothing beside them.
	batchSteps = 1024
	batches    = 4
)

// readSteps reads a corrected file on a goroutine of its own, takes its figures
// by the meter, and sends the steps that lay beads. The meter is the caller's
// again once the pipe is closed.
func readSteps(ctx context.Context, corrected io.Reader, m *meter, o *Options) *parallel.Pipe[[]Step] {
	return parallel.Produce(batches, parallel.NoItems[Step], func(p *parallel.Pipe[[]Step]) error {
		out := parallel.SendTo(p, batchSteps)
		err := Steps(corrected, o.Card, o.Span, func(s *Step) error {
			m.add(s)
			if o.Also != nil {
				if err := o.Also(s); err != nil {
					return err
				}
			}
			if s.Lays() {
				return out.Send(s)
			}
			if s.Line&0xfff == 0 {
				return ctx.Err()
			}
			return nil
		})
		out.Flush()
		return err
	})
}

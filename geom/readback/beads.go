package readback

import (
	"context"

	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// bead is one planar bead move, brought to bed coordinates in plan; z is its
// shell's c.
type bead struct {
	from, to r3.Vec
	length   float64
	done     bool // a step has reached its end
}

// distance returns how far p lies from the bead in plan.
func (b *bead) distance(p r2.Vec) float64 {
	t := b.param(p)
	return distance(p, r2.Vec{X: b.from.X + t*(b.to.X-b.from.X), Y: b.from.Y + t*(b.to.Y-b.from.Y)})
}

// param returns the parameter of the bead's point nearest to p.
func (b *bead) param(p r2.Vec) float64 {
	if b.length == 0 {
		return 0
	}
	dx, dy := b.to.X-b.from.X, b.to.Y-b.from.Y
	t := ((p.X-b.from.X)*dx + (p.Y-b.from.Y)*dy) / (b.length * b.length)
	return min(max(t, 0), 1)
}

// c returns the shell that the bead lies on at the point nearest to p.
func (b *bead) c(p r2.Vec) float64 {
	if b.from.Z == b.to.Z {
		return b.from.Z
	}
	return b.from.Z + b.param(p)*(b.to.Z-b.from.Z)
}

// beads is the stream of a zone's planar beads, read ahead in batches.
type beads struct {
	batches chan []bead
	failed  chan error
	batch   []bead
	error   error
	done    bool
}

func readBeads(ctx context.Context, src *Source) *beads {
	b := &beads{batches: make(chan []bead, 4), failed: make(chan error, 1)}
	go func() {
		defer close(b.batches)
		b.failed <- b.read(ctx, src)
	}()
	return b
}

func (b *beads) read(ctx context.Context, src *Source) error {
	f, err := src.Open()
	if err != nil {
		return err
	}
	defer f.Close()
	const size = 4096
	batch := make([]bead, 0, size)
	send := func() error {
		select {
		case b.batches <- batch:
			batch = make([]bead, 0, size)
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	_, err = motion.Read(ctx, f, src.Read, func(ev *motion.Event) error {
		if !ev.Extrudes() || src.Zone.Keep != nil && !src.Zone.Keep(ev) {
			return nil
		}
		batch = append(batch, newBead(src, ev))
		if len(batch) == size {
			return send()
		}
		return nil
	})
	if err == nil && len(batch) > 0 {
		err = send()
	}
	return err
}

func newBead(src *Source, ev *motion.Event) bead {
	a, ca := src.Zone.Real(ev.From)
	c, cb := src.Zone.Real(ev.To)
	return bead{
		from:   r3.Vec{X: a.X, Y: a.Y, Z: ca},
		to:     r3.Vec{X: c.X, Y: c.Y, Z: cb},
		length: distance(a, c),
	}
}

// peek returns the next bead without taking it.
func (b *beads) peek() (*bead, bool) {
	for len(b.batch) == 0 {
		batch, ok := <-b.batches
		if !ok {
			if !b.done {
				b.done, b.error = true, <-b.failed
			}
			return nil, false
		}
		b.batch = batch
	}
	return &b.batch[0], true
}

func (b *beads) pop() { b.batch = b.batch[1:] }

// err returns why reading stopped, once peek has said that nothing is left.
func (b *beads) err() error { return b.error }

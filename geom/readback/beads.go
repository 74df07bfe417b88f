package readback

import (
	"context"

	"conewright/geom/motion"
	"conewright/geom/parallel"

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
	pipe  *parallel.Pipe[[]bead]
	batch []bead // being used
	at    int    // the next bead's place in it
}

const batchBeads = 4096

func readBeads(ctx context.Context, src *Source) *beads {
	return &beads{pipe: parallel.Produce(batches, parallel.NoItems[bead], func(p *parallel.Pipe[[]bead]) error {
		f, err := src.Open()
		if err != nil {
			return err
		}
		defer f.Close()
		out := parallel.SendTo(p, batchBeads)
		_, err = motion.Read(ctx, f, src.Read, func(ev *motion.Event) error {
			if !ev.Extrudes() || src.Zone.Keep != nil && !src.Zone.Keep(ev) {
				return nil
			}
			b := newBead(src, ev)
			return out.Send(&b)
		})
		if err == nil {
			out.Flush()
		}
		return err
	})}
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
	if b.at == len(b.batch) {
		if b.batch != nil {
			b.pipe.Return(b.batch)
		}
		b.at = 0
		if b.batch, _ = b.pipe.Receive(); b.batch == nil {
			return nil, false
		}
	}
	return &b.batch[b.at], true
}

func (b *beads) pop() { b.at++ }

// close ends reading and returns why it failed.
func (b *beads) close() error { return b.pipe.Close() }

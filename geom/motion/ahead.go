package motion

import (
	"context"
	"io"

	"conewright/geom/parallel"
)

// batch is what the reading side hands over at once: enough events that the
// hand-over costs nothing beside them.
type batch struct {
	events []Event // of batchEvents; the first n are filled in
	n      int
	text   []byte  // a copy of what the events' Text lies in
	done   float64 // part of the input read by then
}

const (
	batchEvents = 1024
	batchText   = 1 << 16
	batches     = 3 // one read into, one waiting, one worked on
)

// ReadAhead is Read with the reading on a goroutine of its own, so that it
// overlaps with what each does. With o.Look, which sees the reader's state line
// by line, it is Read.
func ReadAhead(ctx context.Context, src io.Reader, o ReadOptions, each func(*Event) error) (Stats, error) {
	if o.Look != nil {
		return Read(ctx, src, o, each)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	progress := o.Progress
	var st Stats
	blank := func() *batch { return &batch{events: make([]Event, batchEvents)} }
	batches := parallel.Produce(batches, blank, func(p *parallel.Pipe[*batch]) error {
		a := ahead{ctx: ctx, pipe: p}
		o.Progress = func(done float64) { a.done = done }
		a.r = newReader(o, a.take)
		err := a.begin()
		if err == nil {
			if st, err = a.r.read(ctx, src); err == nil {
				a.send()
			}
		}
		return err
	})
	for b, ok := batches.Receive(); ok; b, ok = batches.Receive() {
		for i := range b.n {
			if err := each(&b.events[i]); err != nil {
				stop()
				batches.Close()
				return st, err
			}
		}
		if progress != nil && o.Size > 0 {
			progress(b.done)
		}
		batches.Return(b)
	}
	err := batches.Close()
	return st, err
}

// ahead is the reading side.
type ahead struct {
	ctx  context.Context
	pipe *parallel.Pipe[*batch]
	r    *reader
	b    *batch
	done float64
}

// begin has the reader make its next events in an empty batch.
func (a *ahead) begin() error {
	b, err := a.pipe.Empty()
	if err != nil {
		return err
	}
	b.n, b.text = 0, b.text[:0]
	a.b, a.r.ev = b, &b.events[0]
	return nil
}

func (a *ahead) send() {
	a.b.done = a.done
	a.pipe.Send(a.b)
}

// take is the reader's callback. The event stands in its batch already: only
// its text must be kept.
func (a *ahead) take(ev *Event) error {
	b := a.b
	b.n++
	if len(ev.Text) > 0 {
		// Should text move as it grows, earlier events keep the old array.
		from := len(b.text)
		b.text = append(b.text, ev.Text...)
		ev.Text = b.text[from:len(b.text):len(b.text)]
	}
	if b.n < batchEvents && len(b.text) < batchText {
		a.r.ev = &b.events[b.n]
		return nil
	}
	a.send()
	if err := a.ctx.Err(); err != nil {
		return err
	}
	return a.begin()
}

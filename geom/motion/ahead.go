package motion

import (
	"context"
	"io"
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
	a := ahead{free: make(chan *batch, batches), full: make(chan *batch, batches)}
	for range batches {
		a.free <- &batch{events: make([]Event, batchEvents)}
	}
	progress := o.Progress
	o.Progress = func(done float64) { a.done = done }
	var st Stats
	var err error
	go func() {
		defer close(a.full)
		a.r = newReader(o, a.take(ctx))
		a.begin(<-a.free)
		if st, err = a.r.read(ctx, src); err == nil {
			a.b.done = a.done
			a.full <- a.b // there is room: no more batches than places
		}
	}()
	var failed error
	for b := range a.full {
		for i := 0; i < b.n && failed == nil; i++ {
			if failed = each(&b.events[i]); failed != nil {
				stop()
			}
		}
		if progress != nil && o.Size > 0 && failed == nil {
			progress(b.done)
		}
		a.free <- b
	}
	if failed != nil {
		err = failed
	}
	return st, err
}

// ahead is the reading side.
type ahead struct {
	free, full chan *batch
	r          *reader
	b          *batch
	done       float64
}

// begin has the reader make its next events in b.
func (a *ahead) begin(b *batch) {
	b.n, b.text = 0, b.text[:0]
	a.b, a.r.ev = b, &b.events[0]
}

// take returns the reader's callback. The event stands in its batch already:
// only its text must be kept.
func (a *ahead) take(ctx context.Context) func(*Event) error {
	return func(ev *Event) error {
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
		b.done = a.done
		a.full <- b
		select {
		case b = <-a.free:
			a.begin(b)
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

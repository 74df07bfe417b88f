package parallel

import "errors"

// ErrClosed is what the producer of a Pipe gets once the other side wants
// nothing more.
var ErrClosed = errors.New("the pipe is closed")

// Pipe hands batches from a producer to a consumer on another goroutine, in
// order, and used batches back. It holds a fixed number of batches: a producer
// that is too fast waits.
type Pipe[B any] struct {
	full, free chan B
	stop       chan struct{} // closed when the consumer wants nothing more
	done       chan struct{} // closed when the started goroutine has ended
	err        error         // how it ended; valid once done is closed
	reading    bool          // the caller consumes; else it produces
	closed     bool
}

// Produce starts produce on a goroutine of its own; the caller consumes. blank
// makes each of the batches, which are used again and again. produce ends with
// its own error or with the one that Empty gives it.
func Produce[B any](batches int, blank func() B, produce func(p *Pipe[B]) error) *Pipe[B] {
	p := newPipe(batches, blank)
	p.reading = true
	go func() {
		p.err = produce(p)
		close(p.done)
		close(p.full)
	}()
	return p
}

// Consume starts consume on a goroutine of its own; the caller produces.
func Consume[B any](batches int, blank func() B, consume func(p *Pipe[B]) error) *Pipe[B] {
	p := newPipe(batches, blank)
	go func() {
		p.err = consume(p)
		close(p.done)
		close(p.stop)
	}()
	return p
}

func newPipe[B any](batches int, blank func() B) *Pipe[B] {
	p := &Pipe[B]{
		full: make(chan B, batches), free: make(chan B, batches),
		stop: make(chan struct{}), done: make(chan struct{}),
	}
	for range batches {
		p.free <- blank()
	}
	return p
}

// Empty waits for a used batch, for the producer to fill. It fails when the
// consumer has ended: with the consumer's error, else ErrClosed.
func (p *Pipe[B]) Empty() (B, error) {
	select {
	case <-p.stop: // first, since both may be ready
	default:
		select {
		case b := <-p.free:
			return b, nil
		case <-p.stop:
		}
	}
	var none B
	if !p.reading && p.err != nil {
		return none, p.err
	}
	return none, ErrClosed
}

// Send hands a filled batch on. It never waits: there are no more batches than
// places.
func (p *Pipe[B]) Send(b B) { p.full <- b }

// Receive waits for the next filled batch; ok is false when none will come.
func (p *Pipe[B]) Receive() (b B, ok bool) {
	b, ok = <-p.full
	return b, ok
}

// Return hands a used batch back to the producer.
func (p *Pipe[B]) Return(b B) { p.free <- b }

// Close is the caller's end of the pipe. A consumer says by it that it wants
// nothing more, a producer that nothing more will come. It waits for the other
// side and returns its error; that a producer was stopped by Close is no error.
// Closing again returns the same.
func (p *Pipe[B]) Close() error {
	if !p.closed {
		p.closed = true
		if p.reading {
			close(p.stop)
		} else {
			close(p.full)
		}
	}
	<-p.done
	if errors.Is(p.err, ErrClosed) {
		return nil
	}
	return p.err
}

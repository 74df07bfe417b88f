package parallel

// Sender gathers items into the batches of a pipe: handing over one by one costs
// more than most items take to make.
type Sender[T any] struct {
	pipe  *Pipe[[]T]
	size  int
	batch []T
	has   bool // batch is one of the pipe's
}

// SendTo returns a sender of batches of size items. It belongs to the producer.
func SendTo[T any](p *Pipe[[]T], size int) *Sender[T] { return &Sender[T]{pipe: p, size: size} }

// Send hands over a copy of item, sooner or later. It fails as Pipe.Empty does.
func (s *Sender[T]) Send(item *T) error {
	if !s.has {
		b, err := s.pipe.Empty()
		if err != nil {
			return err
		}
		s.batch, s.has = b[:0], true
	}
	if s.batch = append(s.batch, *item); len(s.batch) >= s.size {
		s.Flush()
	}
	return nil
}

// Flush hands over what was gathered.
func (s *Sender[T]) Flush() {
	if s.has {
		s.has = false
		s.pipe.Send(s.batch)
	}
}

// Each calls use with every item that the pipe brings, in order, until use
// fails. An item is use's only until it returns.
func Each[T any](p *Pipe[[]T], use func(item *T) error) error {
	for b, ok := p.Receive(); ok; b, ok = p.Receive() {
		for i := range b {
			if err := use(&b[i]); err != nil {
				return err
			}
		}
		p.Return(b)
	}
	return nil
}

// NoItems is a blank batch for Produce and Consume that grows when it is first
// filled.
func NoItems[T any]() []T { return nil }

package session

import (
	"context"
	"math"
	"sync"
	"time"
)

// Latest does one piece of work at a time, always for the newest request: one
// that waits is replaced by a newer one, one under way is told to stop once it
// has had its time. Between requests it uses no goroutine and no CPU. The zero
// value isn't ready: set Work.
type Latest[In any] struct {
	// Work computes for one request, in a goroutine of its own, and hands its
	// result on by itself. It should return soon after ctx ends.
	Work func(ctx context.Context, in In)
	// Patience is how long work may go on though a newer request waits. Without
	// it nothing would ever be shown while requests come faster than work ends.
	Patience time.Duration
	// Rest is the pause after a piece of work if a newer request waits by then, as
	// a multiple of the time that the work took: it leaves the processors to what
	// is more urgent. 0: none.
	Rest float64
	// Urgent tells requests that don't wait for such a pause to end: nothing follows
	// them for which the processors are kept free. nil: none is.
	Urgent func(in In) bool

	mu      sync.Mutex
	waiting *In
	stop    context.CancelFunc // of the work under way; nil: idle
	began   time.Time
	pausing *time.Timer // nil: no pause is under way
}

// Forever is the patience for work that always comes to its end.
const Forever = time.Duration(math.MaxInt64)

// Ask requests work. It never blocks.
func (l *Latest[In]) Ask(in In) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.waiting = &in
	if l.stop == nil {
		l.next()
		return
	}
	if l.pausing != nil {
		if l.urgent() && l.pausing.Stop() {
			l.pausing = nil
			l.next()
		}
		return // a pause ends by itself
	}
	if l.Patience == Forever {
		return
	}
	if left := l.Patience - time.Since(l.began); left > 0 {
		time.AfterFunc(left, l.stop) // harmless where the work has ended by then
		return
	}
	l.stop()
}

// Stop drops the waiting request and ends the work under way.
func (l *Latest[In]) Stop() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.waiting = nil
	if l.stop != nil {
		l.stop()
	}
}

// Idle reports whether no work is under way or waiting.
func (l *Latest[In]) Idle() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.stop == nil
}

// next starts the waiting request; the caller holds the lock.
func (l *Latest[In]) next() {
	in := *l.waiting
	l.waiting = nil
	ctx, stop := context.WithCancel(context.Background())
	l.stop, l.began = stop, time.Now()
	go func() {
		defer func() {
			stop()
			l.mu.Lock()
			defer l.mu.Unlock()
			if l.waiting == nil {
				l.stop = nil
				return
			}
			l.pause(time.Duration(l.Rest * float64(time.Since(l.began))))
		}()
		l.Work(ctx, in)
	}()
}

// urgent reports whether the waiting request is; the caller holds the lock.
func (l *Latest[In]) urgent() bool {
	return l.Urgent != nil && l.waiting != nil && l.Urgent(*l.waiting)
}

// pause starts the waiting request after a while; the caller holds the lock.
func (l *Latest[In]) pause(d time.Duration) {
	if d <= 0 || l.urgent() {
		l.next()
		return
	}
	l.stop = func() {} // not idle, but there is nothing to stop
	l.pausing = time.AfterFunc(d, func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.pausing = nil
		if l.waiting == nil {
			l.stop = nil
			return
		}
		l.next()
	})
}

package session

import (
	"context"
	"sync"
	"testing"
	"time"
)

func TestTheNewestRequestWinsAndStaleOnesAreDropped(t *testing.T) {
	var mu sync.Mutex
	var done []int
	entered, release := make(chan int), make(chan struct{})
	l := Latest[int]{Patience: Forever, Work: func(_ context.Context, n int) {
		entered <- n
		<-release
		mu.Lock()
		done = append(done, n)
		mu.Unlock()
	}}
	l.Ask(1)
	<-entered
	for n := 2; n <= 9; n++ {
		l.Ask(n)
	}
	release <- struct{}{}
	if n := <-entered; n != 9 {
		t.Errorf("%d came next, not the newest", n)
	}
	release <- struct{}{}
	select {
	case n := <-entered:
		t.Errorf("%d was worked on though it was stale", n)
	case <-time.After(20 * time.Millisecond):
	}
	mu.Lock()
	defer mu.Unlock()
	if len(done) != 2 || done[0] != 1 || done[1] != 9 {
		t.Errorf("%v", done)
	}
}

func TestNewWorkStopsTheOld(t *testing.T) {
	ended := make(chan int, 4)
	l := Latest[int]{Work: func(ctx context.Context, n int) {
		if n == 1 {
			<-ctx.Done()
		}
		ended <- n
	}}
	l.Ask(1)
	l.Ask(2)
	for _, want := range []int{1, 2} {
		select {
		case n := <-ended:
			if n != want {
				t.Errorf("%d ended, not %d", n, want)
			}
		case <-time.After(5 * time.Second):
			t.Fatal("the old work was never stopped")
		}
	}
}

func TestStopDropsWhatWaits(t *testing.T) {
	ended := make(chan int, 4)
	l := Latest[int]{Patience: Forever, Work: func(ctx context.Context, n int) {
		<-ctx.Done()
		ended <- n
	}}
	l.Ask(1)
	l.Ask(2)
	l.Stop()
	if n := <-ended; n != 1 {
		t.Errorf("%d ended", n)
	}
	select {
	case n := <-ended:
		t.Errorf("%d was begun after Stop", n)
	case <-time.After(20 * time.Millisecond):
	}
}

func TestWorkHasItsTimeBeforeItIsStopped(t *testing.T) {
	const patience = 40 * time.Millisecond
	began, ended := make(chan struct{}), make(chan time.Duration, 4)
	l := Latest[int]{Patience: patience, Work: func(ctx context.Context, n int) {
		if n == 2 {
			return
		}
		start := time.Now()
		close(began)
		<-ctx.Done()
		ended <- time.Since(start)
	}}
	l.Ask(1)
	<-began
	l.Ask(2)
	select {
	case took := <-ended:
		if took < patience*9/10 {
			t.Errorf("stopped after %v", took)
		}
	case <-time.After(5 * time.Second):
		t.Fatal("never stopped")
	}
}

func TestRestPausesBetweenRequests(t *testing.T) {
	const work = 30 * time.Millisecond
	begun := make(chan time.Time, 4)
	l := Latest[int]{Patience: Forever, Rest: 2, Work: func(context.Context, int) {
		begun <- time.Now()
		time.Sleep(work)
	}}
	l.Ask(1)
	first := <-begun
	l.Ask(2)
	l.Ask(3)
	if second := <-begun; second.Sub(first) < 3*work {
		t.Errorf("the next came after %v, without two rests of %v", second.Sub(first), work)
	}
	for !l.Idle() {
		time.Sleep(time.Millisecond)
	}
	l.Ask(4)
	if (<-begun).IsZero() {
		t.Error("nothing comes after a rest")
	}
	l.Ask(5)
	l.Stop() // while 4 is under way
	for !l.Idle() {
		time.Sleep(time.Millisecond)
	}
	select {
	case <-begun:
		t.Error("what was dropped was worked on")
	case <-time.After(4 * work):
	}
}

// TestAnUrgentRequestDoesNotWaitForARest asks for urgent work (10 and more) during a
// rest of seconds, and during the work before one.
func TestAnUrgentRequestDoesNotWaitForARest(t *testing.T) {
	const work, soon = 20 * time.Millisecond, time.Second
	begun, ended := make(chan int, 8), make(chan int, 8)
	l := Latest[int]{Patience: Forever, Rest: 200, Urgent: func(n int) bool { return n >= 10 }, Work: func(_ context.Context, n int) {
		begun <- n
		time.Sleep(work)
		ended <- n
	}}
	next := func(want int) {
		t.Helper()
		select {
		case n := <-begun:
			if n != want {
				t.Fatalf("%d was begun, not %d", n, want)
			}
		case <-time.After(soon):
			t.Fatalf("%d isn't begun within %v", want, soon)
		}
	}
	l.Ask(1)
	next(1)
	l.Ask(2)
	<-ended
	time.Sleep(work) // 4 s of rest have begun
	select {
	case n := <-begun:
		t.Fatalf("%d didn't wait", n)
	default:
	}
	l.Ask(10)
	next(10)
	l.Ask(3)
	l.Ask(11) // it waits when the work ends
	next(11)
}

package motion

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// long is a file of many batches, words and texts among the moves.
func long() []byte {
	var b bytes.Buffer
	b.WriteString("G21\nG90\nM82\nG0 X0 Y0 Z1\n")
	for i := range 9000 {
		fmt.Fprintf(&b, "G1 X%d Y%d E%d\n", i%200, i%170, i)
		if i%7 == 0 {
			fmt.Fprintf(&b, "M117 %s\n", strings.Repeat("text ", i%90))
		}
		if i == 4000 {
			b.WriteString("G5 X1\n")
		}
	}
	return b.Bytes()
}

// events returns copies of what a reader yields, up to an event that fails.
func events(t *testing.T, read func(context.Context, func(*Event) error) (Stats, error), failAt int) ([]Event, Stats, error) {
	t.Helper()
	var all []Event
	st, err := read(context.Background(), func(ev *Event) error {
		if len(all) == failAt {
			return errTired
		}
		e := *ev
		e.Text = bytes.Clone(ev.Text)
		all = append(all, e)
		return nil
	})
	return all, st, err
}

var errTired = errors.New("tired")

func TestReadAheadIsRead(t *testing.T) {
	data := long()
	for _, failAt := range []int{-1, 0, 1, 5000} {
		plain, st, err := events(t, func(ctx context.Context, each func(*Event) error) (Stats, error) {
			return Read(ctx, bytes.NewReader(data), ReadOptions{}, each)
		}, failAt)
		ahead, stAhead, errAhead := events(t, func(ctx context.Context, each func(*Event) error) (Stats, error) {
			return ReadAhead(ctx, bytes.NewReader(data), ReadOptions{}, each)
		}, failAt)
		if err != errAhead || failAt < 0 && st != stAhead {
			t.Errorf("failing at %d: %v, %+v; read plainly %v, %+v", failAt, errAhead, stAhead, err, st)
		}
		if d := cmp.Diff(plain, ahead); d != "" {
			t.Errorf("failing at %d: %s", failAt, d)
		}
	}
}

func TestReadAheadStopsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	n := 0
	_, err := ReadAhead(ctx, bytes.NewReader(bytes.Repeat(long(), 50)), ReadOptions{}, func(*Event) error {
		if n++; n == 100 {
			stop()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || n > 10000 {
		t.Errorf("%d events, %v", n, err)
	}
}

func TestReadAheadTellsHowFarItIs(t *testing.T) {
	data := bytes.Repeat(long(), 20)
	last, told := 0.0, 0
	_, err := ReadAhead(context.Background(), bytes.NewReader(data), ReadOptions{Size: int64(len(data)), Progress: func(done float64) {
		if done < last {
			t.Errorf("%g after %g", done, last)
		}
		last = done
		told++
	}}, func(*Event) error { return nil })
	if err != nil || last != 1 || told < 3 {
		t.Errorf("last %g, told %d times, %v", last, told, err)
	}
}

package motion

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
)

// endless gives a piece again and again, n bytes in all.
type endless struct {
	piece string
	at, n int
}

func (e *endless) Read(p []byte) (n int, err error) {
	for n < len(p) && e.at < e.n {
		k := copy(p[n:min(len(p), n+e.n-e.at)], e.piece[e.at%len(e.piece):])
		n, e.at = n+k, e.at+k
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// Files that are small or cheap to make, but ask for much work, are read through or
// refused within ten seconds, and let go within half a second when asked.
func TestReadingBearsBombs(t *testing.T) {
	if testing.Short() {
		t.Skip("reads a hundred megabytes")
	}
	const start = "G21\nG90\nM83\nG1 X0 Y0 Z0.2 F1000\n"
	for name, c := range map[string]struct {
		piece string
		bytes int
	}{
		"circles of 80 m":        {"G2 X0 Y0 I40000 J0 E100\n", 2 << 20},
		"circles of 2 m":         {"G2 I1000 E1\n", 8 << 20},
		"slices of giant arcs":   {"G2 X100 Y0 R999999 E1\nG2 X0 Y0 R999999 E1\n", 8 << 20},
		"small circles":          {"G2 I2 E1\n", 2 << 20},
		"blank lines":            {"\n", 16 << 20},
		"one line":               {"X1 ", 64 << 20},
		"one comment":            {";aaaaaaa", 64 << 20},
		"numbers of many digits": {"G1 X" + strings.Repeat("1", 1<<19) + "\n", 64 << 20},
		"spaced numbers":         {"G1 X" + strings.Repeat("1 ", 1<<18) + "\n", 16 << 20},
		"words not understood":   {"G999 X1\n", 8 << 20},
		"long texts":             {"M117 " + strings.Repeat("z", 1<<19) + "\n", 64 << 20},
		"checksums":              {"N1 G1 X1" + strings.Repeat("*", 1<<19) + "\n", 32 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			open := func() io.Reader {
				return io.MultiReader(strings.NewReader(start), &endless{piece: c.piece, n: c.bytes})
			}
			for _, read := range []func(context.Context, io.Reader, ReadOptions, func(*Event) error) (Stats, error){Read, ReadAhead} {
				events := 0
				began := time.Now()
				_, err := read(context.Background(), open(), ReadOptions{}, func(*Event) error { events++; return nil })
				took := time.Since(began)
				t.Logf("%d events, %v: %v", events, took.Round(time.Millisecond), err)
				if took > 10*time.Second {
					t.Errorf("took %v", took)
				}
				if events > 2*mostFine {
					t.Errorf("made %d moves of %d bytes", events, c.bytes)
				}
				if took < 200*time.Millisecond {
					continue
				}
				ctx, cancel := context.WithCancel(context.Background())
				var asked time.Time
				time.AfterFunc(took/3, func() { asked = time.Now(); cancel() })
				_, err = read(ctx, open(), ReadOptions{}, func(*Event) error { return nil })
				if wait := time.Since(asked); errors.Is(err, context.Canceled) && wait > 500*time.Millisecond {
					t.Errorf("was interrupted after %v", wait)
				}
				cancel()
			}
		})
	}
}

// However slowly a file's events are taken, one that is full of moves is let go at once.
func TestAReadIsInterruptedAmidAnArcAndAmidAPiece(t *testing.T) {
	for name, text := range map[string]string{
		"arcs":  "G1 X0 Y0 Z0 F1000\n" + strings.Repeat("G2 I4000 E1\n", 100),
		"moves": strings.Repeat("G1 X0 F1000\nG1 X1\n", 20000),
	} {
		ctx, cancel := context.WithCancel(context.Background())
		events := 0
		_, err := Read(ctx, strings.NewReader(text), ReadOptions{}, func(*Event) error {
			if events++; events == 1000 {
				cancel()
			}
			return nil
		})
		if !errors.Is(err, context.Canceled) || events > 1000+2*askEvery {
			t.Errorf("%s: %v after %d events", name, err, events)
		}
	}
}

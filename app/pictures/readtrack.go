package pictures

import (
	"context"
	"io"
	"math"
	"os"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	mostPoints = 200_000 // of a track: 8 MB
	firstLeast = 0.05    // mm: no screen shows less
)

// ReadTrack reads the track of a setup's corrected motion file. Its times are
// those of the estimate in the run log, stretched so that all take the given
// seconds; 0: as long as the estimate says.
func ReadTrack(ctx context.Context, file string, setup *job.Setup, seconds float64) (*Track, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	first, err := firstZoneLine(f)
	if err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	if err != nil {
		return nil, message.Errorf("%s: %w", file, err)
	}
	card := setup.Machine.Card
	t := &Track{head: card.Head, known: len(setup.Leaves()), width: setup.Bead}
	r := trackReader{track: t, clock: newClock(card), least: firstLeast}
	err = readback.Steps(f, card, readback.Span{First: first, Last: math.MaxInt}, func(s *readback.Step) error {
		r.clock.add(s)
		if s.Known {
			r.step(s)
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, message.Errorf("%s: %w", file, err)
	}
	r.clock.set(t.points, seconds)
	t.findBeads()
	return t, nil
}

// trackReader puts a track together.
type trackReader struct {
	track *Track
	clock *clock
	least float64 // mm under which steps are joined
	since float64 // mm since the newest point
}

// step takes a step's end. A step that goes on as the last one did and ends near
// it moves that point instead, so that ends of beads stay where they are.
func (r *trackReader) step(s *readback.Step) {
	t, lays := r.track, s.Lays()
	r.since += r3.Norm(r3.Sub(s.To.Tip, s.From.Tip))
	n := len(t.tips)
	if n == 0 {
		r.put(s.From, r.clock.before, s, false)
		t.points[0].line-- // where its way begins
	} else if last := &t.points[n-1]; n > 1 && last.lays == lays && last.zone == int16(s.Zone) && r.since < r.least {
		t.tips[n-1], last.azimuth, last.time, last.line = s.To.Tip, float32(s.To.Azimuth), float32(r.clock.now), int32(s.Line)
		return
	}
	r.put(s.To, r.clock.now, s, lays)
	r.since = 0
	if len(t.tips) >= mostPoints {
		r.thin()
	}
}

func (r *trackReader) put(p machine.Pose, now float64, s *readback.Step, lays bool) {
	t := r.track
	t.tips = append(t.tips, p.Tip)
	t.points = append(t.points, point{azimuth: float32(p.Azimuth), time: float32(now), line: int32(s.Line), zone: int16(s.Zone), lays: lays})
}

// thin joins shorter steps than before, and leaves every other point out where
// that doesn't halve them.
func (r *trackReader) thin() {
	t := r.track
	r.least *= 2
	since := 0.0
	t.keep(func(i int) bool {
		since += r3.Norm(r3.Sub(t.tips[i], t.tips[i-1]))
		if since < r.least && i+1 < len(t.tips) && t.points[i+1].lays == t.points[i].lays {
			return false
		}
		since = 0
		return true
	})
	if len(t.tips) > mostPoints*3/4 {
		t.keep(func(i int) bool { return i%2 == 0 || i+1 == len(t.tips) })
	}
}

// keep leaves out the points for which want is false; the first one stays. want
// sees the points before i as they were: it is asked from the first to the last
// and points are moved afterwards.
func (t *Track) keep(want func(i int) bool) {
	kept := []int{0}
	for i := 1; i < len(t.tips); i++ {
		if want(i) {
			kept = append(kept, i)
		}
	}
	for k, i := range kept {
		t.tips[k], t.points[k] = t.tips[i], t.points[i]
	}
	t.tips, t.points = t.tips[:len(kept)], t.points[:len(kept)]
}

package pictures

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"sort"

	"conewright/geom/machine"
	"conewright/geom/readback"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// Track is a motion for looking at: where the tip is at which time and what is
// laid. It holds a bounded number of points, however long the motion is: the
// finest steps are left out where there are more.
type Track struct {
	tips     []r3.Vec
	azimuths []float32 // radians, unwrapped
	times    []float32 // seconds since the first move, rising
	lays     []bool    // the way to the point lays a bead
	beads    [][2]int  // first and last point of each
	head     machine.Head
	least    float64 // mm under which steps are joined
}

const (
	mostPoints = 200_000 // of a track: 8 MB
	firstLeast = 0.05    // mm: no screen shows less
	shownBeads = 60_000  // points of beads that are drawn at a time, newest first
)

// ReadTrack reads the track of a corrected motion file.
func ReadTrack(ctx context.Context, file string, card *machine.Card) (*Track, error) {
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
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	t := &Track{head: card.Head, least: firstLeast}
	now, since := 0.0, 0.0
	err = readback.Steps(f, card, readback.Span{First: first, Last: math.MaxInt}, func(s *readback.Step) error {
		now += s.Seconds
		if !s.Known {
			return ctx.Err()
		}
		since += r3.Norm(r3.Sub(s.To.Tip, s.From.Tip))
		if t.add(s, now, since) {
			since = 0
		}
		if len(t.tips) >= mostPoints {
			t.thin()
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	t.findBeads()
	return t, nil
}

// add takes a step's end. A step that goes on as the last one did and ends near
// it moves that point instead, so that ends of beads stay where they are.
func (t *Track) add(s *readback.Step, now, since float64) (fresh bool) {
	lays := s.Lays()
	n := len(t.tips)
	if n == 0 {
		t.put(s.From, now-s.Seconds, false)
	} else if n > 1 && t.lays[n-1] == lays && since < t.least {
		t.tips[n-1], t.azimuths[n-1], t.times[n-1] = s.To.Tip, float32(s.To.Azimuth), float32(now)
		return false
	}
	t.put(s.To, now, lays)
	return true
}

func (t *Track) put(p machine.Pose, now float64, lays bool) {
	t.tips = append(t.tips, p.Tip)
	t.azimuths = append(t.azimuths, float32(p.Azimuth))
	t.times = append(t.times, float32(now))
	t.lays = append(t.lays, lays)
}

// thin joins shorter steps than before, and leaves every other point out where
// that doesn't halve them.
func (t *Track) thin() {
	t.least *= 2
	since := 0.0
	t.keep(func(i int) bool {
		since += r3.Norm(r3.Sub(t.tips[i], t.tips[i-1]))
		if since < t.least && i+1 < len(t.tips) && t.lays[i+1] == t.lays[i] {
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
		t.tips[k], t.azimuths[k], t.times[k], t.lays[k] = t.tips[i], t.azimuths[i], t.times[i], t.lays[i]
	}
	n := len(kept)
	t.tips, t.azimuths, t.times, t.lays = t.tips[:n], t.azimuths[:n], t.times[:n], t.lays[:n]
}

func (t *Track) findBeads() {
	for i := 1; i < len(t.tips); i++ {
		if !t.lays[i] {
			continue
		}
		if !t.lays[i-1] || len(t.beads) == 0 {
			t.beads = append(t.beads, [2]int{i - 1, i})
		}
		t.beads[len(t.beads)-1][1] = i
	}
}

// Seconds returns how long the motion takes.
func (t *Track) Seconds() float64 {
	if len(t.times) == 0 {
		return 0
	}
	return float64(t.times[len(t.times)-1])
}

// At returns the beads that are laid by a time, oldest first, and the head then.
// Of many beads only the newest are returned: the older lie under them.
func (t *Track) At(seconds float64) ([][]r3.Vec, *render.Head) {
	if len(t.tips) == 0 {
		return nil, nil
	}
	i := sort.Search(len(t.times), func(i int) bool { return float64(t.times[i]) >= seconds })
	if i == len(t.times) {
		i--
	}
	tip, azimuth := t.tips[i], float64(t.azimuths[i])
	if i > 0 {
		share := 1.0
		if span := float64(t.times[i] - t.times[i-1]); span > 0 {
			share = min(max((seconds-float64(t.times[i-1]))/span, 0), 1)
		}
		tip = r3.Add(t.tips[i-1], r3.Scale(share, r3.Sub(tip, t.tips[i-1])))
		azimuth = float64(t.azimuths[i-1]) + share*(azimuth-float64(t.azimuths[i-1]))
	}
	return t.laid(i, tip), &render.Head{Shape: t.head, Tip: tip, Azimuth: azimuth}
}

// laid returns the beads up to a tip on the way to point i.
func (t *Track) laid(i int, tip r3.Vec) [][]r3.Vec {
	end := sort.Search(len(t.beads), func(k int) bool { return t.beads[k][0] >= i }) // begun before i
	first, points := end, 0
	for first > 0 && points < shownBeads {
		first--
		points += t.beads[first][1] - t.beads[first][0] + 1
	}
	beads := make([][]r3.Vec, 0, end-first)
	for _, b := range t.beads[first:end] {
		if b[1] >= i { // under way
			part := append(append([]r3.Vec{}, t.tips[b[0]:i]...), tip)
			beads = append(beads, part)
			continue
		}
		beads = append(beads, t.tips[b[0]:b[1]+1:b[1]+1])
	}
	return beads
}

// Package readback reads a corrected motion file again from its words and
// proves it against the planar motion that it came from.
//
// It shares the field and the bed rule with geom/unwarp, but neither its
// cutting nor its matching, so that a fault there shows here.
package readback

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Step is one move of a corrected file, as its words say it.
type Step struct {
	From, To machine.Pose
	Words    [2]machine.Words // before and after
	E        float64          // filament pushed, mm
	Seconds  float64          // by the feed word; 0 for a rapid
	Line     int              // 1-based
	Zone     int              // index in the order of the file; -1 before the first
	Known    bool             // whether From is known in all axes
}

// Lays reports whether the step lays a bead.
func (s *Step) Lays() bool { return s.E > 0 && s.From.Tip != s.To.Tip && s.Known }

// Span says which lines of a file are the motion between start and end.
type Span struct{ First, Last int }

// Steps reads the moves of a corrected file, streaming.
func Steps(r io.Reader, card *machine.Card, span Span, each func(*Step) error) error {
	s := stepper{card: card, zone: -1, basis: card.FeedBasis}
	s.known = [3]bool{}
	in := bufio.NewReaderSize(r, 1<<18)
	for line := 1; line <= span.Last; line++ {
		text, err := in.ReadSlice('\n')
		if err != nil && !(errors.Is(err, io.EOF) && len(text) > 0) {
			if errors.Is(err, io.EOF) {
				return nil
			}
			return fmt.Errorf("corrected motion, line %d: %w", line, err)
		}
		if line < span.First {
			continue
		}
		step, ok, err := s.line(bytes.TrimRight(text, "\r\n"), line)
		if err != nil {
			return err
		}
		if ok {
			if err := each(step); err != nil {
				return err
			}
		}
	}
	return nil
}

type stepper struct {
	card  *machine.Card
	basis string
	now   machine.Words
	known [3]bool
	e     float64
	feed  float64
	zone  int
	step  Step
}

var zonePrefix = []byte("; zone ")

func (s *stepper) line(text []byte, line int) (*Step, bool, error) {
	if bytes.HasPrefix(text, zonePrefix) {
		s.zone++
		return nil, false, nil
	}
	if i := bytes.IndexByte(text, ';'); i >= 0 {
		text = text[:i]
	}
	if bytes.HasPrefix(text, []byte("G92 E0")) {
		s.e = 0
		return nil, false, nil
	}
	if !(bytes.HasPrefix(text, []byte("G1 ")) || bytes.HasPrefix(text, []byte("G0 "))) {
		return nil, false, nil
	}
	to, e := s.now, s.e
	known := s.known == [3]bool{true, true, true}
	moves := false
	for _, w := range bytes.Fields(text[3:]) {
		v, err := strconv.ParseFloat(string(w[1:]), 64)
		if err != nil {
			return nil, false, fmt.Errorf("corrected motion, line %d: word %q: %w", line, w, err)
		}
		moves = moves || w[0] != 'F'
		switch w[0] {
		case 'X':
			to.X, s.known[0] = v, true
		case 'Y':
			to.Y, s.known[1] = v, true
		case 'Z':
			to.Z, s.known[2] = v, true
		case 'E':
			e = v
		case 'F':
			s.feed = v
		default:
			if s.card.Swivel == nil || w[0] != s.card.Swivel.Letter[0] {
				return nil, false, fmt.Errorf("corrected motion, line %d: word %q isn't the machine's", line, w)
			}
			to.Swivel = v
		}
	}
	if !moves {
		return nil, false, nil
	}
	s.step = Step{
		From: s.card.Pose(s.now), To: s.card.Pose(to), Words: [2]machine.Words{s.now, to},
		E: e - s.e, Line: line, Zone: s.zone, Known: known,
	}
	s.step.Seconds = s.seconds(&s.step)
	s.now, s.e = to, e
	return &s.step, true, nil
}

// seconds returns how long a step takes by its feed word.
func (s *stepper) seconds(st *Step) float64 {
	if s.feed <= 0 {
		return 0
	}
	if s.basis == machine.FeedInverseTime {
		return 60 / s.feed
	}
	a, b := &st.Words[0], &st.Words[1]
	xyz := r3.Norm(r3.Vec{X: b.X - a.X, Y: b.Y - a.Y, Z: b.Z - a.Z})
	turn := math.Abs(b.Swivel - a.Swivel)
	length := xyz
	switch {
	case s.basis == machine.FeedAllAxes && xyz+turn > 0:
		length = math.Hypot(xyz, turn)
	case xyz == 0 && turn > 0:
		length = turn
	case xyz == 0:
		length = math.Abs(st.E)
	}
	return 60 * length / s.feed
}

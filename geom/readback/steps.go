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

	"conewright/geom/machine"
	"conewright/geom/motion"
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
	Support  bool             // between the lines "; support" and "; part"
}

// Lays reports whether the step lays a bead. Where a tilted nozzle lays a ring of
// its own reach, only the head turns.
func (s *Step) Lays() bool { return s.E > 0 && s.Words[0] != s.Words[1] && s.Known }

// Span says which lines of a file are the motion between start and end.
type Span struct{ First, Last int }

// Steps reads the moves of a corrected file, streaming. The step is each's only
// until it returns.
func Steps(r io.Reader, card *machine.Card, span Span, each func(*Step) error) error {
	s := newStepper(card)
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
		ok, err := s.line(text)
		if err != nil {
			return fmt.Errorf("corrected motion, line %d: %w", line, err)
		}
		if ok {
			s.step.Line = line
			if err := each(&s.step); err != nil {
				return err
			}
		}
	}
	return nil
}

// stepper holds the state between lines; step is the last move.
type stepper struct {
	card    *machine.Card
	letters [machine.MostTurning]byte // of the turning axes; 0: none
	basis   string
	known   uint8 // of X, Y and Z: those that have been said
	e       float64
	feed    float64
	words   words
	shift   machine.Turn // what G92 took off the turning words: steps hold the sum
	step    Step
}

const hasXYZ = hasX | hasY | hasZ

func newStepper(card *machine.Card) *stepper {
	s := &stepper{card: card, basis: card.FeedBasis}
	for i, a := range card.Turning() {
		s.letters[i] = a.Letter[0]
	}
	s.step.Zone = -1
	s.step.To = card.Pose(machine.Words{})
	return s
}

var (
	zonePrefix  = []byte("; zone ")
	supportLine = []byte(motion.SupportLine)
	partLine    = []byte(motion.PartLine)
	countPrefix = []byte("G92 ")
)

// line takes a line with its end; ok tells that it moves something.
func (s *stepper) line(text []byte) (ok bool, err error) {
	if len(text) < 3 || text[0] != 'G' || text[1] != '1' && text[1] != '0' || text[2] != ' ' {
		switch {
		case bytes.HasPrefix(text, zonePrefix):
			s.step.Zone++
			s.step.Support = false
		case bytes.Equal(bytes.TrimRight(text, "\r\n"), supportLine):
			s.step.Support = true
		case bytes.Equal(bytes.TrimRight(text, "\r\n"), partLine):
			s.step.Support = false
		case bytes.HasPrefix(text, countPrefix):
			return false, s.recount(text[len(countPrefix):])
		}
		return false, nil
	}
	w := &s.words
	if err := w.parse(text[3:], s.letters); err != nil {
		return false, err
	}
	if w.has&hasFeed != 0 {
		s.feed = w.feed
	}
	if w.has&^hasFeed == 0 {
		return false, nil
	}
	s.move(w)
	return true, nil
}

// recount takes the words of a G92: what E and the swivel are called from now on.
func (s *stepper) recount(text []byte) error {
	var w words
	if err := w.parse(text, s.letters); err != nil {
		return err
	}
	if w.has&hasE != 0 {
		s.e = w.e
	}
	if w.has&hasSwivel != 0 {
		s.shift[0] = s.step.Words[1].Turn[0] - w.turn[0]
	}
	if w.has&hasSecond != 0 {
		s.shift[1] = s.step.Words[1].Turn[1] - w.turn[1]
	}
	return nil
}

// move takes the step that the words say.
func (s *stepper) move(w *words) {
	st := &s.step
	to, e := st.Words[1], s.e
	if w.has&hasX != 0 {
		to.X = w.x
	}
	if w.has&hasY != 0 {
		to.Y = w.y
	}
	if w.has&hasZ != 0 {
		to.Z = w.z
	}
	if w.has&hasSwivel != 0 {
		to.Turn[0] = w.turn[0] + s.shift[0]
	}
	if w.has&hasSecond != 0 {
		to.Turn[1] = w.turn[1] + s.shift[1]
	}
	if w.has&hasE != 0 {
		e = w.e
	}
	st.From, st.To = st.To, s.card.Pose(to)
	st.Words[0], st.Words[1] = st.Words[1], to
	st.E, st.Known = e-s.e, s.known == hasXYZ
	st.Seconds = s.seconds(st)
	s.known |= w.has & hasXYZ
	s.e = e
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
	dx, dy, dz := b.X-a.X, b.Y-a.Y, b.Z-a.Z
	xyz := math.Sqrt(dx*dx + dy*dy + dz*dz) // of places on a printer: nothing overflows
	turn := math.Abs(b.Turn[0] - a.Turn[0])
	if b.Turn[1] != a.Turn[1] {
		turn = math.Hypot(turn, b.Turn[1]-a.Turn[1])
	}
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

package sequence

import (
	"context"
	"math"
	"regexp"
	"strings"

	"conewright/geom/message"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// Settle returns the lines of a start after which all words mean bed coordinates,
// whoever wrote it: a machine's start may have shifted them.
//
// A shift by G92 at a place that the start has said is taken back by a G92 of the
// true place at the end; a work offset or a turned frame that it calls is switched
// off there. Not passed on, and told of, are a G92 at a place that nobody knows
// (after homing) or of a turning axis, or of what only the machine can reckon, what
// stores an offset, and an offset of the homed place that is set after homing. Lines
// that stay aren't changed.
func Settle(ctx context.Context, text string) (lines []string, left []Remark, err error) {
	s := settling{}
	opt := motion.ReadOptions{Look: s.look}
	_, err = motion.Read(ctx, strings.NewReader(lineEnds.Replace(text)+"\n;"), opt, func(ev *motion.Event) error {
		s.at, s.known = ev.To, ev.ToKnown
		s.homed = s.homed || ev.Kind == motion.Home
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	s.lines = s.lines[:len(s.lines)-1] // ours, which let us see what the last one did
	return append(s.lines, s.backInPlace()...), s.left, nil
}

// settling is what is known of a start's frame while it is read.
type settling struct {
	lines    []string
	left     []Remark
	modes    motion.Modes // before the line that is read
	at       r3.Vec       // where the tip stands, in the start's first coordinates
	known    motion.Axes  // axes of which at is sure
	homed    bool
	cleared  bool        // a G92.1 or G92.2 stood there: what G92.3 takes up is known
	stripped r3.Vec      // of the frame's shift, what was taken out of the words
	taken    motion.Axes // axes that were taken out of the last line's G92
	undo     []string    // what ends the work offsets and turned frames that were called
}

// undoing maps a G word that shifts or turns the frame to the one that ends it
// (NISTIR 6556, table 5; G7, G43.2, G43.4, G51, G51.1, G52, G54.1, G68 and G68.2:
// common practice, from memory, no source).
var undoing = map[string]string{
	"G55": "G54", "G56": "G54", "G57": "G54", "G58": "G54", "G59": "G54", "G59.1": "G54", "G59.2": "G54", "G59.3": "G54",
	"G54.1": "G54", "G7": "G8", // G7: X is a diameter
	"G43": "G49", "G43.1": "G49", "G43.2": "G49", "G43.4": "G49", "G41": "G40", "G42": "G40",
	"G51": "G50", "G51.1": "G50.1", "G52": "G52 X0 Y0 Z0", "G68": "G69", "G68.2": "G69",
}

// plainWord is a word that can be read without the machine: no variable, no sum.
var plainWord = regexp.MustCompile(`^[A-Z][-+]?[0-9]*\.?[0-9]*$`)

// guesses reports a line whose shift only the machine knows: a G92 of what isn't a
// plain number, and a G92.3 of what an earlier print has left there.
func (s *settling) guesses(words []string) bool {
	named, plain := false, true
	for _, w := range words {
		named = named || w == "G92"
		plain = plain && plainWord.MatchString(w)
		switch w {
		case "G92.1", "G92.2":
			s.cleared = true
		case "G92.3":
			if !s.cleared {
				return true
			}
		}
	}
	return named && !plain
}

// homeOffsets are the M words that move the homed place (printing firmware, from
// memory): before homing they are part of it, after it they shift the frame. M290
// shifts it a little while the machine runs.
var homeOffsets = map[string]bool{"M206": true, "M290": true, "M428": true}

func (s *settling) look(l *motion.Look) {
	s.noteStripped(l.Modes().Offset)
	s.modes = l.Modes()
	line := strings.TrimRight(string(l.Raw), " \t\r")
	words := splitWords(string(l.Words(nil)))
	if len(words) == 0 {
		s.lines = append(s.lines, line)
		return
	}
	if s.stores(words) || s.guesses(words) {
		s.leave(l.Line, line)
		return
	}
	for _, w := range words {
		if end := undoing[w]; end != "" {
			s.undo = append(s.undo, end)
		}
	}
	if kept, changed := s.withoutPlaces(words); changed {
		s.leave(l.Line, line)
		if len(kept) > 1 {
			s.lines = append(s.lines, strings.Join(kept, " "))
		}
		return
	}
	s.lines = append(s.lines, line)
}

// leave tells of a line that isn't passed on, or not as a whole.
func (s *settling) leave(number int, line string) {
	if len(s.left) < maxRemarks {
		s.left = append(s.left, Remark{
			Line: number, Text: line[:min(len(line), 60)],
			What: message.New("what would shift the places after it isn't passed on"),
		})
	}
}

// stores reports a line that stores an offset, or that moves the homed place after
// homing. G10 with L is that of RS-274 (NISTIR 6556, 3.5.5); without, it draws
// filament back.
func (s *settling) stores(words []string) bool {
	if words[0] == "G10" {
		for _, w := range words[1:] {
			if w[0] == 'L' {
				return true
			}
		}
	}
	return s.homed && homeOffsets[words[0]]
}

// splitWords takes a line apart into words without blanks, in capitals.
func splitWords(line string) (words []string) {
	text := strings.Join(strings.Fields(strings.ToUpper(line)), "")
	begin := 0
	for i := 1; i <= len(text); i++ {
		if i < len(text) && (text[i] < 'A' || text[i] > 'Z') {
			continue
		}
		words = append(words, text[begin:i])
		begin = i
	}
	return words
}

// withoutPlaces takes out of a G92 the axes whose place isn't known, and all
// turning axes. A G92 without axes names all of them.
func (s *settling) withoutPlaces(words []string) (kept []string, changed bool) {
	s.taken = 0
	g92 := false
	for _, w := range words {
		g92 = g92 || w == "G92"
	}
	if !g92 {
		return words, false
	}
	axes := map[byte]motion.Axes{'X': motion.AxisX, 'Y': motion.AxisY, 'Z': motion.AxisZ}
	if len(words) == 1 {
		words = []string{"G92", "X0", "Y0", "Z0", "E0"}
	}
	for _, w := range words {
		axis := axes[w[0]]
		if axis != 0 && s.known&axis == 0 || strings.IndexByte("ABCUVW", w[0]) >= 0 {
			s.taken |= axis
			changed = true
			continue
		}
		kept = append(kept, w)
	}
	return kept, changed
}

// noteStripped counts what the reader took for a shift of axes whose word was
// taken out: the machine isn't shifted by that. now is the frame's shift after the
// last line.
func (s *settling) noteStripped(now r3.Vec) {
	d := r3.Sub(now, s.modes.Offset)
	if s.taken&motion.AxisX != 0 {
		s.stripped.X += d.X
	}
	if s.taken&motion.AxisY != 0 {
		s.stripped.Y += d.Y
	}
	if s.taken&motion.AxisZ != 0 {
		s.stripped.Z += d.Z
	}
	s.taken = 0
}

// backInPlace returns the words that make words mean bed coordinates again. The
// tip doesn't move.
func (s *settling) backInPlace() []string {
	lines := s.undo
	frame := []byte("G92")
	place, shift := r3.Sub(s.at, s.stripped), r3.Sub(s.modes.Offset, s.stripped)
	for _, a := range []struct {
		letter    byte
		at, shift float64
	}{{'X', place.X, shift.X}, {'Y', place.Y, shift.Y}, {'Z', place.Z, shift.Z}} {
		if math.Abs(a.shift) > 1e-9 {
			frame = motion.AppendWord(frame, a.letter, a.at/s.modes.Unit, 5)
		}
	}
	if len(frame) > len("G92") {
		lines = append(lines, string(frame))
	}
	return lines
}

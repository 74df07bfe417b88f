package brought

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/runlog"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r3"
)

// safeEnd follows an end from the machine's true place and changes what would
// harm the print.
type safeEnd struct {
	card  *machine.Card
	at    unwarp.Rest
	over  Box // the print in plan, widened by the head
	lines []endLine
	said  map[int]bool // lines that were told of and stay as they are
	notes []endNote
}

// endNote is a finding about a line of an end.
type endNote struct {
	rank, code string
	line       int // of the brought file
	index      int // of the lines that are written
	text       message.Text
}

// makeSafe changes the lines of an end until none of them could harm the print, and
// notes what it changed.
func (t *safeEnd) makeSafe(ctx context.Context) error {
	t.said = map[int]bool{}
	for range 4*len(t.lines) + 1 { // each round changes one line or none, a line at most once an axis
		changed, err := t.round(ctx)
		if err != nil || !changed {
			return err
		}
	}
	return nil
}

// stride is what a line of an end does, summed over its events.
type stride struct {
	from, to         r3.Vec
	fromKnown, known motion.Axes
	e                float64
	moves, extrudes  bool
	foreign          bool
	kind             motion.Kind
	why              message.Text
	after            motion.Modes
}

// round follows the lines as they stand now, and changes the first that needs it.
func (t *safeEnd) round(ctx context.Context) (changed bool, err error) {
	strides, err := t.follow(ctx)
	if err != nil {
		return false, err
	}
	for i := range strides {
		if t.lines[i].line > 0 && t.judge(i, &strides[i]) {
			return true, nil
		}
	}
	return false, nil
}

// follow runs the lines from the machine's true place.
func (t *safeEnd) follow(ctx context.Context) ([]stride, error) {
	var text bytes.Buffer
	text.WriteString("G21\nG90\nM82\nG92 E0\n")
	prelude := 4
	if t.at.Known {
		w := &t.at.Words
		fmt.Fprintf(&text, "G1%s%s%s\n", word('X', w.X, 6), word('Y', w.Y, 6), word('Z', w.Z, 6))
		prelude++
	}
	for i := range t.lines {
		text.WriteString(t.lines[i].text)
		text.WriteByte('\n')
	}
	text.WriteString("G90\n") // so that the last line's modes are looked at too
	strides := make([]stride, len(t.lines))
	opt := motion.ReadOptions{Look: func(l *motion.Look) {
		if i := l.Line - prelude - 2; i >= 0 && i < len(strides) {
			strides[i].after = l.Modes()
		}
	}}
	if s := t.card.AsSwivel(); s != nil {
		opt.Swivel = s.Letter[0]
	}
	_, err := motion.Read(ctx, &text, opt, func(ev *motion.Event) error {
		i := ev.Line - prelude - 1
		if i < 0 || i >= len(strides) {
			return nil
		}
		s := &strides[i]
		switch ev.Kind {
		case motion.Home, motion.Problem:
			s.kind, s.why, s.from, s.fromKnown = ev.Kind, ev.Why, ev.From, ev.FromKnown
		case motion.Word:
			s.foreign = s.foreign || ev.Code == motion.CodeForeign
		case motion.Move:
			if !s.moves {
				s.moves, s.from, s.fromKnown = true, ev.From, ev.FromKnown
			}
			s.to, s.known = ev.To, ev.ToKnown
			s.e += ev.E
			s.extrudes = s.extrudes || ev.Extrudes()
		}
		return nil
	})
	return strides, err
}

// judge changes line i if what it does could harm the print.
func (t *safeEnd) judge(i int, s *stride) bool {
	l := &t.lines[i]
	switch {
	case s.kind == motion.Problem:
		t.tell(runlog.Stop, "unknown-word", i, message.New("in the file's end, with the print on the bed: %s", s.why))
		return false
	case s.kind == motion.Home:
		return t.home(i, s)
	case s.foreign:
		t.tell(runlog.Warn, "foreign", i, message.New("what it does is the firmware's matter: make sure that it begins by moving away from the print"))
		return false
	case s.extrudes:
		t.note(runlog.Note, "off-part", i, message.New("left out of the end: it would lay filament where no part is"))
		l.text, l.line = "G92"+word('E', s.after.E, 6), 0
		return true
	case s.moves && s.known&motion.AxisZ != 0 && s.to.Z < t.at.Safe-heightSlack:
		return t.setZ(i, s, t.at.Safe, "raised to z %.2f, above the print")
	}
	return s.moves && t.at.Known && s.fromKnown == motion.AllAxes && t.stay(i, s)
}

// heightSlack forgives a word's rounding, mm.
const heightSlack = 0.005

// stay keeps relative moves within the machine's travel: the source believed
// them to begin elsewhere. Absolute ones are what the source wanted.
func (t *safeEnd) stay(i int, s *stride) bool {
	if !s.after.Relative {
		return false
	}
	travel := &t.card.Travel
	changed := false
	for _, a := range []struct {
		letter   byte
		from, to float64
		within   [2]float64
	}{{'X', s.from.X, s.to.X, travel.X}, {'Y', s.from.Y, s.to.Y, travel.Y}, {'Z', s.from.Z, s.to.Z, travel.Z}} {
		to := math.Min(math.Max(a.to, a.within[0]), a.within[1])
		if math.Abs(to-a.to) < heightSlack || a.from < a.within[0] || a.from > a.within[1] {
			continue
		}
		if text, ok := addTo(t.lines[i].text, a.letter, (to-a.to)/s.after.Unit, s.after.Unit); ok {
			t.note(runlog.Note, "ending", i, message.New("ends at %c%.2f, where the machine's travel ends", a.letter, to))
			t.lines[i].text = text
			changed = true
		}
	}
	return changed
}

// setZ changes the line's Z word so that it leads to z; without one it is left
// out.
func (t *safeEnd) setZ(i int, s *stride, z float64, why string) bool {
	text, ok := addTo(t.lines[i].text, 'Z', (z-s.to.Z)/s.after.Unit, s.after.Unit)
	if !ok {
		t.note(runlog.Note, "ending", i, message.New("left out: it would lead below the top of the print"))
		t.lines[i].text, t.lines[i].line = "G92"+word('E', s.after.E, 6), 0
		return true
	}
	t.note(runlog.Note, "ending", i, message.New(why, z))
	t.lines[i].text = text
	return true
}

// home judges a line that homes, probes or parks.
func (t *safeEnd) home(i int, s *stride) bool {
	text := strings.ToUpper(t.lines[i].text)
	code := text
	if k := strings.IndexFunc(text[1:], func(r rune) bool { return r != '.' && (r < '0' || r > '9') }); k >= 0 {
		code = text[:k+1]
	}
	x, y, z := strings.Contains(text, "X"), strings.Contains(text, "Y"), strings.Contains(text, "Z")
	switch {
	case code == "G27":
		return false
	case code != "G28":
		t.note(runlog.Warn, "ending", i, message.New("left out: it would probe with the print on the bed"))
	case !z && (x || y):
		return false
	case z && !(x && y) && t.overPrint(s):
		t.note(runlog.Warn, "ending", i, message.New("left out: it would home z onto the print"))
	default:
		t.tell(runlog.Warn, "ending", i, message.New("homes z with the print on the bed, as the file has it: make sure that it homes upward or beside the print"))
		return false
	}
	t.lines[i].text, t.lines[i].line = "", 0
	return true
}

// overPrint reports whether the head may stand over the print at a line.
func (t *safeEnd) overPrint(s *stride) bool {
	if s.fromKnown&(motion.AxisX|motion.AxisY) != motion.AxisX|motion.AxisY {
		return false
	}
	return s.from.X > t.over.min.X && s.from.X < t.over.max.X && s.from.Y > t.over.min.Y && s.from.Y < t.over.max.Y
}

func (t *safeEnd) note(rank, code string, i int, text message.Text) {
	t.notes = append(t.notes, endNote{rank, code, t.lines[i].line, i, message.New("%q: %s", t.lines[i].text, text)})
}

// tell notes a line that stays as it is, once.
func (t *safeEnd) tell(rank, code string, i int, text message.Text) {
	if !t.said[t.lines[i].line] {
		t.said[t.lines[i].line] = true
		t.note(rank, code, i, text)
	}
}

// addTo adds v, in the line's units, to the number of the line's word of that
// letter; ok is false where it has none.
func addTo(line string, letter byte, v, unit float64) (string, bool) {
	for i := 0; i < len(line); i++ {
		if line[i]&^0x20 != letter {
			continue
		}
		end := i + 1
		for end < len(line) && strings.IndexByte(" \t+-.0123456789", line[end]) >= 0 {
			end++
		}
		number := strings.Map(func(r rune) rune {
			if r == ' ' || r == '\t' {
				return -1
			}
			return r
		}, line[i+1:end])
		var have float64
		if _, err := fmt.Sscanf(number, "%g", &have); err != nil {
			return line, false
		}
		decimals := 3
		if unit != 1 {
			decimals = 5
		}
		scale := math.Pow(10, float64(decimals))
		sum := math.Ceil((have+v)*scale-1e-6) / scale
		rest := line[end:]
		if rest != "" && number != line[i+1:end] {
			rest = " " + rest
		}
		return line[:i+1] + string(motion.AppendNumber(nil, sum, decimals)) + rest, true
	}
	return line, false
}

package reading

import (
	"bufio"
	"fmt"
	"os"
	"strings"
)

// Step is a move of a motion file. Words are the machine's true places: units,
// offsets and relative distances are already taken into account.
type Step struct {
	Line     int // counted from 1
	From, To Words
	Known    bool // all linear axes' places are known at From
	Rapid    bool
	Feed     float64 // the F word in force
	Inverse  bool    // F is 1 / minutes
	Written  Words   // the words as they stand in the file, where it has them
	Has      [6]bool // X, Y, Z, first and second turning axis, E
	Zone     int     // index of the zone's line in Path.Zones; -1 before the first
	Support  bool
}

// Extrudes reports that filament is pushed while the tip goes along.
func (s *Step) Extrudes() bool {
	return s.Known && s.To.E > s.From.E && (s.To.XYZ != s.From.XYZ || s.To.Turn != s.From.Turn)
}

// Path is a motion file, read.
type Path struct {
	Steps  []Step
	Zones  []string // names in the order of their lines
	Lines  int
	Faults []string // what the interpreter couldn't follow

	Started int     // line of the last G92 E0 before the first zone: the start ends there
	Shifts  []Shift // G92, in order
}

// Shift is a G92: how much it takes off each word (X, Y, Z, turning axes, E).
type Shift struct {
	Line, Zone int
	By         [6]float64
	AmidBead   bool // beads go on right after it as they went before
}

// interpreter holds the modal state of NISTIR 6556, as far as motion files for
// printing use it, with M82 and M83 for filament (common practice, no source).
type interpreter struct {
	letters   [2]byte
	turns     int
	inch      bool
	relative  bool
	eRel      bool
	inverse   bool
	rapid     bool
	feed      float64
	at        Words      // true places
	known     [3]bool    // of X, Y, Z
	offset    [6]float64 // true place minus word
	zone      int
	support   bool
	elsewhere bool // a work offset that isn't the first is in force
	path      *Path
}

// ReadPath reads a motion file for a card.
func ReadPath(file string, m *Machine) (*Path, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	in := &interpreter{zone: -1, path: &Path{}}
	for i, a := range m.Turnings() {
		in.letters[i] = a.Letter[0]
		in.turns++
		in.at.Turn[i] = a.Zero
	}
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		in.path.Lines++
		in.line(lines.Text())
	}
	return in.path, lines.Err()
}

func (in *interpreter) fault(format string, args ...any) {
	const most = 20
	if len(in.path.Faults) < most {
		in.path.Faults = append(in.path.Faults, fmt.Sprintf("line %d: ", in.path.Lines)+fmt.Sprintf(format, args...))
	}
}

func (in *interpreter) line(text string) {
	if strings.HasPrefix(text, ";") {
		in.comment(text)
		return
	}
	b := ParseBlock(text)
	if b.Bad != "" && len(b.M) == 0 { // the text of a message isn't words
		in.fault("%q isn't a word", b.Bad)
		return
	}
	motion := b.Has['X'-'A'] || b.Has['Y'-'A'] || b.Has['Z'-'A'] || b.Has['E'-'A']
	for i := range in.turns {
		motion = motion || b.Has[in.letters[i]-'A']
	}
	for _, m := range b.M {
		switch m {
		case 82:
			in.eRel = false
		case 83:
			in.eRel = true
		}
		motion = false // the letters of other M words are their own
	}
	if len(b.M) > 0 {
		return
	}
	if f, ok := b.Word('F'); ok {
		in.feed = f
	}
	for _, g := range b.G {
		switch g {
		case 0, 1:
			in.rapid = g == 0
		case 17, 18, 19, 21, 90, 91, 93, 94, 20:
			in.modal(g)
		case 28:
			in.home(&b)
			motion = false
		case 92:
			in.shift(&b)
			motion = false
		case 4:
			motion = false
		case 54, 55, 56, 57, 58, 59: // work offsets other than the first are unknown
			in.elsewhere = g != 54
		default:
			in.fault("G%v isn't followed", g)
			motion = false
		}
	}
	if motion {
		in.move(&b)
	}
}

func (in *interpreter) modal(g float64) {
	switch g {
	case 20, 21:
		in.inch = g == 20
	case 90, 91:
		in.relative = g == 91
	case 93, 94:
		in.inverse = g == 93
	}
}

func (in *interpreter) comment(text string) {
	if name, ok := strings.CutPrefix(text, "; zone "); ok {
		in.path.Zones = append(in.path.Zones, name)
		in.zone, in.support = len(in.path.Zones)-1, false
	}
	switch text {
	case "; support":
		in.support = true
	case "; part":
		in.support = false
	}
}

// home forgets where the linear axes are, and what shifted them (common
// practice, no source).
func (in *interpreter) home(b *Block) {
	any := b.Has['X'-'A'] || b.Has['Y'-'A'] || b.Has['Z'-'A']
	for i, l := range []byte("XYZ") {
		if !any || b.Has[l-'A'] {
			in.known[i], in.offset[i] = false, 0
		}
	}
}

// scale is millimetres in a linear word's unit.
func (in *interpreter) scale() float64 {
	if in.inch {
		return 25.4
	}
	return 1
}

// axes lists each axis' letter, its true place and its unit; degrees don't
// scale (NISTIR 6556, 2.1.2.9).
func (in *interpreter) axes() (letters [6]byte, places [6]*float64, units [6]float64) {
	s := in.scale()
	return [6]byte{'X', 'Y', 'Z', in.letters[0], in.letters[1], 'E'},
		[6]*float64{&in.at.XYZ[0], &in.at.XYZ[1], &in.at.XYZ[2], &in.at.Turn[0], &in.at.Turn[1], &in.at.E},
		[6]float64{s, s, s, 1, 1, s}
}

// shift takes G92: the place stays, its word becomes another (NISTIR 6556,
// 3.5.18).
func (in *interpreter) shift(b *Block) {
	letters, places, units := in.axes()
	shift := Shift{Line: in.path.Lines, Zone: in.zone}
	if n := len(in.path.Steps); n > 0 {
		shift.AmidBead = in.path.Steps[n-1].Extrudes()
	}
	if e, ok := b.Word('E'); ok && e == 0 && in.zone < 0 {
		in.path.Started = in.path.Lines
	}
	before := in.offset
	for i, l := range letters {
		if l == 0 {
			continue
		}
		v, ok := b.Word(l)
		if !ok {
			continue
		}
		if i < 3 && !in.known[i] {
			// What the word says becomes the place: nothing else is known of it.
			in.known[i] = true
			*places[i] = v * units[i]
		}
		in.offset[i] = *places[i] - v*units[i]
		shift.By[i] = in.offset[i] - before[i]
	}
	in.path.Shifts = append(in.path.Shifts, shift)
}

func (in *interpreter) move(b *Block) {
	if in.elsewhere && in.zone >= 0 {
		in.fault("a move under an unknown work offset")
	}
	s := Step{Line: in.path.Lines, From: in.at, Known: in.known == [3]bool{true, true, true}, Rapid: in.rapid, Feed: in.feed,
		Inverse: in.inverse, Zone: in.zone, Support: in.support}
	letters, places, units := in.axes()
	for i, l := range letters {
		if l == 0 {
			continue
		}
		v, ok := b.Word(l)
		if !ok {
			continue
		}
		s.Has[i] = true
		relative := in.relative
		if l == 'E' {
			relative = in.eRel
		}
		if relative {
			*places[i] += v * units[i]
		} else {
			*places[i] = v*units[i] + in.offset[i]
			if i < 3 {
				in.known[i] = true
			}
		}
		switch {
		case i < 3:
			s.Written.XYZ[i] = v
		case i < 5:
			s.Written.Turn[i-3] = v
		default:
			s.Written.E = v
		}
	}
	s.To = in.at
	if n := len(in.path.Shifts); n > 0 && in.path.Shifts[n-1].AmidBead {
		if last := &in.path.Shifts[n-1]; len(in.path.Steps) > 0 && in.path.Steps[len(in.path.Steps)-1].Line < last.Line {
			last.AmidBead = s.Extrudes()
		}
	}
	in.path.Steps = append(in.path.Steps, s)
}

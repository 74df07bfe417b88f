package unwarp

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"conewright/geom/machine"
	"conewright/geom/motion"
)

// DryOptions say how a dry run is made from a corrected motion file.
type DryOptions struct {
	Raise       [3]float64 // by which words of X, Y and Z are raised, mm
	First, Last int        // lines of the motion between start and end
	Inverse     bool       // under G93 every move keeps its own F
	// Travel bounds the words of start and end that are raised; a zero one doesn't.
	Travel machine.Travel
}

// DryRun writes the corrected motion in r again without heat, fan, filament or
// priming, raised by o.Raise.
func DryRun(r *bufio.Reader, w io.Writer, o DryOptions) error {
	d := dryRun{opt: o, out: bufio.NewWriterSize(w, 1<<18)}
	d.out.WriteString("; DRY RUN: no heat, no filament, raised. Keep a hand on the power switch.\n")
	for line := 1; ; line++ {
		text, err := r.ReadSlice('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("dry run, line %d: %w", line, err)
		}
		if body := bytes.TrimRight(text, "\r\n"); len(body) > 0 {
			d.line(body, line)
		}
		if err != nil {
			return d.out.Flush()
		}
	}
}

type dryRun struct {
	opt     DryOptions
	out     *bufio.Writer
	feed    []byte // the F in force in the source
	written []byte // the F in force in the dry run
	homed   bool   // or told that it isn't
	buf     []byte
	frame   dryFrame
}

func (d *dryRun) line(text []byte, line int) {
	if text[0] == ';' {
		d.out.Write(text)
		d.out.WriteByte('\n')
		return
	}
	if i := bytes.IndexByte(text, ';'); i >= 0 {
		text = text[:i]
	}
	inside := line >= d.opt.First && line <= d.opt.Last
	if inside && bytes.HasPrefix(text, []byte("G1 ")) {
		d.move(text)
		return
	}
	if inside && !d.homed {
		d.homed = true
		d.out.WriteString("; The start's lines home nothing that is known here: home the machine before this runs.\n")
	}
	if d.buf = d.frame.words(d.buf[:0], text, &d.opt); len(d.buf) > 0 {
		d.written = nil // the line may have brought an F of its own
		d.out.Write(append(d.buf, '\n'))
		return
	}
	if harmless(text) {
		d.homed = d.homed || bytes.Contains(bytes.ToUpper(text), []byte("G28"))
		d.frame.follow(text)
		d.out.Write(bytes.TrimSpace(text))
		d.out.WriteByte('\n')
	}
}

// raises returns which axis a letter is, 0, 1 or 2 for X, Y and Z; -1: none, or one
// that isn't raised.
func raises(letter byte, o *DryOptions) int {
	if axis := int(letter) - 'X'; axis >= 0 && axis < len(o.Raise) && o.Raise[axis] != 0 {
		return axis
	}
	return -1
}

// move writes a move without its filament; one of filament alone vanishes.
func (d *dryRun) move(text []byte) {
	d.buf = append(d.buf[:0], "G1"...)
	moves := false
	for _, w := range bytes.Fields(text[3:]) {
		axis := raises(w[0], &d.opt)
		switch {
		case w[0] == 'E':
		case w[0] == 'F':
			d.feed = append(d.feed[:0], w...)
		case axis >= 0:
			v, err := strconv.ParseFloat(string(w[1:]), 64)
			if err != nil {
				continue
			}
			d.buf = motion.AppendWord(d.buf, w[0], v+d.opt.Raise[axis], 6)
			d.frame.raised[axis] = true
			moves = true
		default:
			d.buf = append(append(d.buf, ' '), w...)
			moves = true
		}
	}
	if !moves {
		return
	}
	if d.opt.Inverse || !bytes.Equal(d.feed, d.written) {
		d.buf = append(append(d.buf, ' '), d.feed...)
		d.written = append(d.written[:0], d.feed...)
	}
	d.out.Write(append(d.buf, '\n'))
}

// harmless reports whether a line may stand in a dry run as it is: homing,
// levelling, modes and messages. Heat, fan, filament and any other motion may
// not; nor may an M word that isn't known to be none of these, nor a line of
// which any word isn't.
func harmless(text []byte) bool {
	text = bytes.TrimSpace(text)
	code, rest := leading(text)
	switch code {
	case "M117", "M118": // free text follows
		return true
	case "M0", "M1", "M17", "M18", "M84", "M201", "M203", "M204", "M205", "M400", "M420":
		return !bytes.ContainsAny(rest, "eEgGmM")
	}
	for first := true; len(text) > 0; first = false {
		code, rest = leading(text)
		switch code {
		case "G28", "G29", "G4", "G04", "G17", "G18", "G19", "G20", "G21", "G54", "G80", "G90", "G91", "G93", "G94":
		default: // an axis word, which only what stands before it can need
			if first || code == "" || code[0] == 'G' || code[0] == 'M' || code[0] == 'E' || code[0] == 'T' {
				return false
			}
		}
		text = bytes.TrimLeft(rest, " \t")
	}
	return true
}

// leading returns a line's first word in capitals, without blanks, and what
// follows its number.
func leading(text []byte) (code string, rest []byte) {
	end := 1
	for end < len(text) && (text[end] == ' ' || text[end] == '\t') {
		end++
	}
	digits := end
	for end < len(text) && (text[end] >= '0' && text[end] <= '9' || bytes.IndexByte([]byte("+-."), text[end]) >= 0) {
		end++
	}
	if len(text) == 0 || text[0]&^0x20 < 'A' || text[0]&^0x20 > 'Z' {
		return "", nil
	}
	if end == digits {
		end = 1 // a letter alone, as in G28 X Y
	}
	return string(text[0]&^0x20) + string(text[digits:max(end, digits)]), text[end:]
}

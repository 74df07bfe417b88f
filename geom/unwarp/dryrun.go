package unwarp

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"conewright/geom/motion"
)

// DryOptions say how a dry run is made from a corrected motion file.
type DryOptions struct {
	Raise       float64 // mm
	First, Last int     // lines of the motion between start and end
	Inverse     bool    // under G93 every move keeps its own F
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
	z       float64
	buf     []byte
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
	switch inside := line >= d.opt.First && line <= d.opt.Last; {
	case inside && bytes.HasPrefix(text, []byte("G1 ")):
		d.move(text)
	case harmless(text, inside):
		d.out.Write(bytes.TrimSpace(text))
		d.out.WriteByte('\n')
	}
}

// move writes a move without its filament; one of filament alone vanishes.
func (d *dryRun) move(text []byte) {
	d.buf = append(d.buf[:0], "G1"...)
	moves := false
	for _, w := range bytes.Fields(text[3:]) {
		switch w[0] {
		case 'E':
		case 'F':
			d.feed = append(d.feed[:0], w...)
		case 'Z':
			z, err := strconv.ParseFloat(string(w[1:]), 64)
			if err != nil {
				continue
			}
			d.buf = motion.AppendWord(d.buf, 'Z', z+d.opt.Raise, 6)
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
// not; nor may an M word that isn't known to be none of these.
func harmless(text []byte, inside bool) bool {
	word, rest, _ := bytes.Cut(bytes.TrimSpace(text), []byte(" "))
	switch string(bytes.ToUpper(word)) {
	case "G28", "G29", "G4", "G04", "G17", "G20", "G21", "G54", "G80", "G90", "G91", "G93", "G94":
		return !bytes.ContainsAny(rest, "eE")
	case "M0", "M1", "M17", "M18", "M84", "M117", "M118", "M201", "M203", "M204", "M205", "M400", "M420":
		return string(bytes.ToUpper(word)) == "M117" || string(bytes.ToUpper(word)) == "M118" || !bytes.ContainsAny(rest, "eE")
	}
	return false
}

package brought

import (
	"fmt"
	"math"

	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r3"
)

// A file's end begins after the last bead of the part. Wipes that follow at once
// (moves in x or y that draw filament back) still belong to that bead: they are
// left to the corrector, which has its own way off the part.
//
// What follows is kept word for word, but the machine doesn't stand where the
// source believed: it stands on the real part, not on the warped one, with our
// modes and our count of E. So before the end the tip lifts along the nozzle's
// axis above everything printed, then modes, E and frame are handed over as the
// source left them. From there on the end is followed as a controller would, and
// what would lead below the top of the print is raised; see safeEnd.
const (
	maxEndLines = 2000
	maxEndBytes = 1 << 18
)

// ending is the end of a brought file, as start_from: file keeps it.
type ending struct {
	after int // line of the last bead of the part
	lines []endLine
	bytes int
	wiped bool // the last bead's wipes are done with
	modes motion.Modes
	long  bool // longer than an end may be
	text  []byte
}

type endLine struct {
	line int // of the brought file; 0: ours
	text string
}

// look takes a line that follows the last bead.
func (e *ending) look(l *motion.Look) {
	if l.Line <= e.after {
		return
	}
	if e.text = l.Words(e.text[:0]); len(e.text) == 0 {
		return
	}
	if len(e.lines) > 0 {
		e.wiped = true
	}
	e.bytes += len(e.text)
	if e.long = e.long || len(e.lines) >= maxEndLines || e.bytes > maxEndBytes; e.long {
		return
	}
	if !e.wiped {
		e.modes = l.Modes()
	}
	e.lines = append(e.lines, endLine{l.Line, string(e.text)})
}

// event takes wipes off the end's beginning.
func (e *ending) event(ev *motion.Event) {
	across := ev.From.X != ev.To.X || ev.From.Y != ev.To.Y
	if e.wiped || len(e.lines) != 1 || ev.Line != e.lines[0].line || ev.Kind != motion.Move {
		return
	}
	if ev.E < 0 && across {
		e.lines, e.bytes = e.lines[:0], 0
	}
}

// handOver returns the lines that give the machine back to the source's end: the
// modes, the count of E and the frame that the source believed in at that point.
// Our own words mean bed coordinates.
func (e *ending) handOver(card *machine.Card, at unwarp.Rest) []string {
	m := &e.modes
	lines := []string{"G21", "G90", "M82"}
	if m.Unit != 1 {
		lines[0] = "G20"
	}
	if m.Relative {
		lines[1] = "G91"
	}
	if m.ERelative {
		lines[2] = "M83"
	}
	if m.Plane != 17 {
		lines = append(lines, fmt.Sprintf("G%d", m.Plane))
	}
	if m.VolumetricDiameter > 0 {
		lines = append(lines, "M200"+word('D', m.VolumetricDiameter/m.Unit, 5))
	}
	frame := "G92" + word('E', m.E, 6)
	if shift := r3.Scale(-1, m.Offset); at.Known {
		for _, a := range []struct {
			letter    byte
			at, shift float64
		}{{'X', at.Words.X, shift.X}, {'Y', at.Words.Y, shift.Y}, {'Z', at.Words.Z, shift.Z}} {
			if math.Abs(a.shift) > 1e-9 {
				frame += word(a.letter, (a.at+a.shift)/m.Unit, 6)
			}
		}
	}
	lines = append(lines, frame)
	if m.Inverse {
		return append(lines, "G93")
	}
	if m.Feed > 0 {
		code := "G1"
		if m.Rapid {
			code = "G0"
		}
		lines = append(lines, code+word('F', m.Feed, 4))
	}
	return lines
}

func word(letter byte, v float64, decimals int) string {
	return string(motion.AppendWord(nil, letter, v, decimals))
}

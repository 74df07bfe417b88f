package brought

import (
	"math"
	"strings"

	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// After the start all words mean bed coordinates. A start may have shifted them:
// by G92 at a place that it has said, which a G92 of the true place takes back;
// by G92 at a place that nobody knows (after homing), or of a turning axis, which
// isn't passed on; by a work offset or a turned frame, which a word switches off.

// undoing maps a G word that shifts or turns the frame to the one that ends it
// (NISTIR 6556, table 5; G51, G52 and G68: common practice, no source).
var undoing = map[string]string{
	"G55": "G54", "G56": "G54", "G57": "G54", "G58": "G54", "G59": "G54", "G59.1": "G54", "G59.2": "G54", "G59.3": "G54",
	"G43": "G49", "G43.1": "G49", "G41": "G40", "G42": "G40", "G51": "G50", "G52": "G52 X0 Y0 Z0", "G68": "G69",
}

// noteShift keeps what ends the shift that a line calls.
func (o *opener) noteShift(line string) {
	code, _ := splitWords(line)
	for _, w := range code {
		if end := undoing[w]; end != "" {
			o.shifted = append(o.shifted, end)
		}
	}
	o.state.shifts = len(o.shifted)
}

// splitWords takes a line apart into words without blanks, in capitals; g92 tells
// that one of them is a G92.
func splitWords(line string) (words []string, g92 bool) {
	text := strings.Join(strings.Fields(strings.ToUpper(line)), "")
	begin := 0
	for i := 1; i <= len(text); i++ {
		if i < len(text) && (text[i] < 'A' || text[i] > 'Z') {
			continue
		}
		words = append(words, text[begin:i])
		begin = i
	}
	for _, w := range words {
		g92 = g92 || w == "G92"
	}
	return words, g92
}

// withoutPlaces takes out of a G92 the axes whose place isn't known, and all
// turning axes. A G92 without axes names all of them.
func (o *opener) withoutPlaces(line []byte) []byte {
	o.taken = 0
	words, g92 := splitWords(string(line))
	if !g92 {
		return line
	}
	axes := map[byte]motion.Axes{'X': motion.AxisX, 'Y': motion.AxisY, 'Z': motion.AxisZ}
	if len(words) == 1 {
		words = []string{"G92", "X0", "Y0", "Z0", "E0"}
	}
	var kept []string
	changed := false
	for _, w := range words {
		axis := axes[w[0]]
		if axis != 0 && o.state.known&axis == 0 || strings.IndexByte("ABCUVW", w[0]) >= 0 {
			o.taken |= axis
			changed = true
			continue
		}
		kept = append(kept, w)
	}
	switch {
	case !changed:
		return line
	case len(kept) == 1:
		return line[:0]
	}
	return append(line[:0], strings.Join(kept, " ")...)
}

// noteStripped counts what the reader took for a shift of axes whose word was
// taken out: the machine isn't shifted by that.
func (o *opener) noteStripped(now r3.Vec) {
	d := r3.Sub(now, o.before)
	if o.taken&motion.AxisX != 0 {
		o.state.stripped.X += d.X
	}
	if o.taken&motion.AxisY != 0 {
		o.state.stripped.Y += d.Y
	}
	if o.taken&motion.AxisZ != 0 {
		o.state.stripped.Z += d.Z
	}
	o.before, o.taken = now, 0
}

// backInPlace returns the words that make words mean bed coordinates again. The
// tip doesn't move.
func (o *Opening) backInPlace() []string {
	lines := o.undo
	frame, place := "", r3.Sub(o.at, o.stripped)
	shift := r3.Sub(o.modes.Offset, o.stripped)
	for _, a := range []struct {
		letter    byte
		at, shift float64
	}{{'X', place.X, shift.X}, {'Y', place.Y, shift.Y}, {'Z', place.Z, shift.Z}} {
		if math.Abs(a.shift) > 1e-9 {
			frame += word(a.letter, a.at/o.modes.Unit, 5)
		}
	}
	if frame != "" {
		lines = append(lines[:len(lines):len(lines)], "G92"+frame)
	}
	return lines
}

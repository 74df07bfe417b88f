package unwarp

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/motion"
)

// dryFrame follows a start and an end through a dry run: their moves and all
// that shifts a frame stay, without filament, and what they say of Z is raised
// like the motion between them.
type dryFrame struct {
	relative, inch bool
	raised         [3]bool // the words of X, Y and Z that stand higher than in the motion itself
	moves          bool    // the last motion word was one of a move
}

// shifting are the M words that move places or bounds, which a dry run must keep
// to show what they do (printing firmware, from memory).
var shifting = map[string]bool{"M206": true, "M218": true, "M290": true, "M420": true, "M428": true, "M851": true,
	"M92": true, "M211": true, "M208": true, "M556": true, "M561": true, "M665": true, "M666": true, "M669": true}

// words appends a line of a start or an end that moves the tip or shifts its
// frame; nothing for any other line.
func (f *dryFrame) words(dst, line []byte, o *DryOptions) []byte {
	words := dryWords(line)
	if len(words) == 0 {
		return dst
	}
	if shifting[words[0]] {
		return append(dst, bytes.TrimSpace(line)...)
	}
	acts, names := f.moves, false // the line moves; it names places (G92)
	for _, w := range words {
		switch w {
		case "G0", "G00", "G1", "G01", "G2", "G02", "G3", "G03":
			acts = true
		case "G92":
			names = true
		case "G92.1", "G92.2", "G92.3", "G52", "G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3", "G17", "G18", "G19", "G20", "G21", "G90", "G91", "G93", "G94":
		default:
			if w[0] == 'G' || w[0] == 'M' || w[0] == 'T' || w[0] == 'N' || len(w) < 2 {
				return dst
			}
		}
	}
	f.follow(line)
	f.moves = acts && !names
	kept, axes := len(dst), false
	for i, w := range words {
		if w[0] == 'E' {
			continue
		}
		if i > 0 && len(dst) > kept {
			dst = append(dst, ' ')
		}
		v, err := strconv.ParseFloat(w[1:], 64)
		axis := raises(w[0], o)
		if axis >= 0 && err == nil && (names && f.raised[axis] || !names && !f.relative) {
			dst = motion.AppendNumber(append(dst, w[0]), f.raise(v, axis, o), 6)
		} else {
			dst = append(dst, w...)
		}
		axes = axes || w[0] != 'G'
		if axis >= 0 && !names && !f.relative {
			f.raised[axis] = true
		}
	}
	if names && !axes && len(words) > 1 { // of E alone; a G92 alone names all axes
		return dst[:kept]
	}
	return dst
}

// raise returns a word of an axis raised, as far as the travel allows.
func (f *dryFrame) raise(v float64, axis int, o *DryOptions) float64 {
	unit := 1.0
	if f.inch {
		unit = 25.4
	}
	v *= unit
	high := v + o.Raise[axis]
	if l := [3]machine.Limits{o.Travel.X, o.Travel.Y, o.Travel.Z}[axis]; l != (machine.Limits{}) {
		if o.Raise[axis] < 0 {
			high = min(v, max(high, l[0]))
		} else {
			high = max(v, min(high, l[1]))
		}
	}
	return math.Round(high/unit*1e6) / 1e6
}

// follow takes the modes of a line that stays.
func (f *dryFrame) follow(line []byte) {
	for _, w := range dryWords(line) {
		switch w {
		case "G90", "G91":
			f.relative = w == "G91"
		case "G20", "G21":
			f.inch = w == "G20"
		case "G28":
			f.raised = [3]bool{}
		}
	}
}

// dryWords takes a line apart into its words, in capitals and without blanks; no
// words where it isn't made of such.
func dryWords(line []byte) (words []string) {
	text := strings.Join(strings.Fields(strings.ToUpper(string(line))), "")
	for begin := 0; begin < len(text); {
		if text[begin] < 'A' || text[begin] > 'Z' {
			return nil
		}
		end := begin + 1
		for end < len(text) && strings.IndexByte("+-.0123456789", text[end]) >= 0 {
			end++
		}
		words = append(words, text[begin:end])
		begin = end
	}
	return words
}

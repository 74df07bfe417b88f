// Package motion models moves and reads and writes the RS-274 words that stand
// for them. Reader and writer stream: memory doesn't grow with the file.
//
// Lengths are mm, feeds mm/min, filament mm of the card's filament. Planar
// motion is what a planner or the user's slicer made of a warped mesh;
// corrected motion is what the machine gets.
package motion

import (
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/message"
)

// Kind tells what an event of a motion file is.
type Kind uint8

// What a reader yields, in the order of the file. Words that only set a mode
// (units, distance and E mode, feed mode, plane, G92, line numbers) are no
// events: what they mean is in the moves.
const (
	// Move: From, To, E, Feed. E > 0 with a distance is a bead; E <= 0 with a
	// distance a travel (E < 0: a wipe); no distance and E <> 0: a retraction
	// (E < 0) or its return (E > 0).
	Move Kind = iota
	// Word: a line that moves nothing and isn't understood further (heat, fan,
	// message, dwell, tool, unknown M): Text, to be passed on or dropped. Code
	// is CodeForeign where the line isn't RS-274 at all (a macro's name): what
	// it does on the machine that it was meant for is unknown.
	Word
	// Home: G28, probing, parking; where the machine is afterwards is unknown
	// here. Text.
	Home
	// Problem: a word that could move the machine and isn't understood, or a
	// fault in the file; its line was not carried out. Code and Text, Why.
	Problem
	// Retract and Unretract: firmware retraction (G10, G11); how much filament
	// it draws is the firmware's matter. Text.
	Retract
	Unretract
	// Notice: the line was carried out, but something about it is worth a word
	// (a wrong checksum, an arc whose radii differ). Code and Text, Why.
	Notice
)

// Codes of events.
const (
	CodeUnknownWord = "unknown-word" // Problem
	CodeForeign     = "foreign"      // Word: not RS-274
	CodeChecksum    = "checksum"     // Notice: *nn doesn't match its line
	CodeArc         = "arc"          // Notice: radii at an arc's ends differ
	CodeVolumetric  = "volumetric"   // Notice: M200 turns E into mm3
)

// Whole lines that mark beads of support of last resort: those after SupportLine are
// support, those after PartLine the part's again.
const (
	SupportLine = "; support"
	PartLine    = "; part"
)

// Axes is a set of axes.
type Axes uint8

// The axes of a set.
const (
	AxisX Axes = 1 << iota
	AxisY
	AxisZ
	AllAxes = AxisX | AxisY | AxisZ
)

// Event is one thing that a motion file says. Text aliases the reader's buffer
// and holds only until the callback returns; the event itself is used again.
type Event struct {
	Kind Kind
	// From and To are absolute, mm, in the coordinates that the file began
	// with: G92 renames places, it doesn't move them.
	From, To r3.Vec
	// FromKnown and ToKnown hold the axes whose places the file has said. At its
	// beginning and after homing no place is known until an absolute word says it.
	// A bead that begins at an unknown place fits nothing.
	FromKnown, ToKnown Axes
	// FromSwivel and ToSwivel are the rotary word before and after, degrees;
	// only where ReadOptions.Swivel names its letter.
	FromSwivel, ToSwivel float64
	E                    float64 // filament pushed along the move, mm; negative: drawn back
	// Feed is along the path, mm/min; of a move of E alone that of E, of the
	// swivel alone in degrees/min. 0: none said (rapid, or no F yet).
	Feed  float64
	Rapid bool // the word was G0
	Arc   bool // a chord of an arc
	// Support: the move stands between SupportLine and PartLine; only where
	// ReadOptions.Marked asks for it.
	Support bool
	Line    int          // 1-based line of the file
	Text    []byte       // the line without its comment, number, checksum and line end
	Code    string       // Problem, Notice, Word: see the codes
	Why     message.Text // Problem, Notice: what is wrong with it
}

// Extrudes reports whether the event lays a bead.
func (e *Event) Extrudes() bool {
	return e.Kind == Move && e.E > 0 && e.From != e.To
}

// Placed reports whether both ends of a move are places that the file has
// said, not guesses.
func (e *Event) Placed() bool {
	return e.FromKnown == AllAxes && e.ToKnown == AllAxes
}

// Package motion models moves and reads and writes the RS-274 words that stand
// for them. Reader and writer stream: memory doesn't grow with the file.
//
// Lengths are mm, feeds mm/min, filament mm of the card's filament. Planar
// motion is what a planner or the user's slicer made of a warped mesh;
// corrected motion is what the machine gets.
package motion

import "gonum.org/v1/gonum/spatial/r3"

// Kind tells what an event of a motion file is.
type Kind uint8

// What a reader yields, in the order of the file.
const (
	// Move: From, To, E, Feed. E > 0 with a distance is a bead; E <= 0 with a
	// distance a travel (E < 0: a wipe); no distance and E <> 0: a retraction
	// (E < 0) or its return (E > 0).
	Move Kind = iota
	// Word: a line that moves nothing and isn't understood further (heat, fan,
	// message, dwell, unknown M): Text, to be passed on or dropped.
	Word
	// Home: G28; what the machine does is unknown here. Text.
	Home
	// Problem: a word that could move the machine and isn't understood, or a
	// fault in the file. Code and Text.
	Problem
)

// Event is one thing that a motion file says. Text aliases the reader's buffer
// and holds only until the callback returns.
type Event struct {
	Kind     Kind
	From, To r3.Vec  // absolute, mm, in the file's own work coordinates
	E        float64 // filament pushed along the move, mm; negative: drawn back
	Feed     float64 // mm/min; 0: rapid (G0 without F)
	Rapid    bool    // the word was G0
	Line     int     // 1-based line of the file
	Text     []byte  // the line without its comment and line end
	Code     string  // Problem: a finding code
}

// Extrudes reports whether the event lays a bead.
func (e *Event) Extrudes() bool {
	return e.Kind == Move && e.E > 0 && e.From != e.To
}

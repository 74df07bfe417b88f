// Package runlog holds what a run tells: its findings.
package runlog

import (
	"math"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// Finding is something that the user should know.
type Finding struct {
	Rank   string     `json:"rank"` // stop | warn | note
	Code   string     `json:"code"`
	Zone   string     `json:"zone"`
	Line   int        `json:"line"` // of corrected.gcode, or 0
	At     [3]float64 `json:"at"`
	Text   string     `json:"text"`
	Format string     `json:"-"` // Text = Format filled with Args: for putting it into another language
	Args   []any      `json:"-"`
}

// Ranks of findings.
const (
	Stop = "stop"
	Warn = "warn"
	Note = "note"
)

// MaxListed bounds how many findings of one kind are listed.
const MaxListed = 50

// Findings are a run's, in the order in which they were found.
type Findings []Finding

// Add adds a finding; line is that of corrected.gcode, or 0.
func (f *Findings) Add(rank, code, zone string, line int, at [3]float64, text string, args ...any) {
	*f = append(*f, Finding{
		Rank: rank, Code: code, Zone: zone, Line: line, At: at, Text: message.New(text, args...).String(), Format: text, Args: args,
	})
}

// Point returns a place as the log holds it.
func Point(v r3.Vec) [3]float64 {
	return [3]float64{Tidy(v.X), Tidy(v.Y), Tidy(v.Z)}
}

// Tidy rounds a figure for a log to a millionth, so that logs read well and the
// last bits of sums don't show.
func Tidy(v float64) float64 { return math.Round(v*1e6)/1e6 + 0 } // + 0 turns -0 into 0

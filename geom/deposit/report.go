package deposit

import "gonum.org/v1/gonum/spatial/r3"

// Report is what was found.
type Report struct {
	Length      float64 // of the beads that were judged, mm
	Hanging     float64 // length of those that hang in runs over ShortRun
	LongestHang float64
	Hangs       []Hang // in printing order
	Digs        Digs

	points int // of Hangs
}

// Digs tells where the nozzle's rim goes below the tops of earlier beads.
type Digs struct {
	Deepest Dig
	// BeadLength and TravelLength are the lengths of the tip's path over which the
	// rim digs by more than a third of a shell, mm.
	BeadLength, TravelLength float64
}

// Dig is a place of the motion at which the rim digs.
type Dig struct {
	Depth  float64 // along the nozzle's axis, mm
	At     r3.Vec  // the tip
	Zone   int     // of the move; -1 before the first
	Line   int     // of the motion file
	Travel bool
	Shell  float64 // thickness of the shell that is dug, mm
}

func (r *Report) addHang(h *Hang) {
	r.Hanging += h.Length
	r.LongestHang = max(r.LongestHang, h.Length)
	if len(r.Hangs) == mostRuns {
		return
	}
	kept := *h
	kept.Points, kept.Lines = nil, nil
	if n := r.points + len(h.Points); n <= MostPoints {
		r.points = n
		kept.Points, kept.Lines = append(kept.Points, h.Points...), append(kept.Lines, h.Lines...)
	}
	r.Hangs = append(r.Hangs, kept)
}

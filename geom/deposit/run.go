package deposit

import "gonum.org/v1/gonum/spatial/r3"

// Hang is a run of bead with nothing under it, longer than ShortRun.
type Hang struct {
	Zone   int
	Line   int     // of the motion file, where it begins
	At     r3.Vec  // of its middle line, where it begins
	Length float64 // mm
	// Points are places of its middle line, about PointsApart apart; the first and
	// the last are its ends. Only the first MostPoints of all runs are kept.
	Points []r3.Vec
	// Lines are the lines of the motion file at the points.
	Lines []int
}

const (
	PointsApart = pointEvery * sampleEvery // mm
	MostPoints  = 200_000
	// mostRuns bounds the runs that are kept one by one; all count.
	mostRuns = 50_000
)

// run is a run of samples with nothing under them.
type run struct {
	samples int
	hang    Hang
	last    r3.Vec
	line    int
}

func (r *run) add(p r3.Vec, m *Move) {
	if r.samples == 0 {
		r.hang = Hang{Zone: m.Zone, Line: m.Line, At: p, Points: r.hang.Points[:0], Lines: r.hang.Lines[:0]}
	}
	r.last, r.line = p, m.Line
	if r.samples%pointEvery == 0 {
		r.point()
	}
	r.samples++
}

// pointEvery is the number of samples from one point to the next.
const pointEvery = 5

func (r *run) point() {
	r.hang.Points, r.hang.Lines = append(r.hang.Points, r.last), append(r.hang.Lines, r.line)
}

// endRun counts the run of hanging samples that has ended, if there is one.
func (j *Judge) endRun() {
	r := &j.hang
	r.hang.Length = float64(r.samples) * sampleEvery
	if r.hang.Length > ShortRun {
		if (r.samples-1)%pointEvery != 0 {
			r.point()
		}
		j.report.addHang(&r.hang)
	}
	r.samples = 0
}

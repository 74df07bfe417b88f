package job

import (
	"context"
	"time"

	"conewright/geom/clearance"
	"conewright/geom/deposit"
	"conewright/geom/parallel"
	"conewright/geom/readback"
)

// prove reads the corrected motion again from disk, compares it, and moves the head
// through it. Both only read the file and what was made before, so they run side
// by side; what they found is noted in one order.
func (r *run) prove(ctx context.Context) error {
	if r.opt.Progress != nil {
		r.opt.Progress("readback", 0)
	}
	var laid *deposit.Report
	var clear clearance.Report
	var read, moved time.Duration
	var readErr, clearErr error
	parallel.Do(
		func() { clear, clearErr = r.moveHead(ctx); moved = time.Since(r.began) },
		func() { laid, readErr = r.readBack(ctx); read = time.Since(r.began) },
	)
	if readErr != nil {
		return readErr
	}
	if clearErr != nil {
		return clearErr
	}
	r.noteMotion(laid)
	r.took("readback", read)
	r.findCollisions(&clear)
	r.took("clearance", moved)
	return nil
}

// readBack compares the corrected motion with the planar one, and judges its beads.
func (r *run) readBack(ctx context.Context) (*deposit.Report, error) {
	f, err := r.files.Open(CorrectedName)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var sources []readback.Source
	for i := range r.sources {
		sources = append(sources, r.readback(&r.sources[i]))
	}
	beads := r.judgeBeads()
	r.report, err = readback.Check(ctx, f, sources, readback.Options{
		Card: r.setup.Machine.Card, Span: r.span(), Tolerance: r.setup.Tolerance, Also: beads.add,
	})
	return beads.report(), err
}

// noteMotion notes what reading back has found.
func (r *run) noteMotion(laid *deposit.Report) {
	r.logMotion()
	r.findMotion()
	r.findBeads(laid)
	r.say("readback: greatest deviation %.4f mm, lowest tip %.3f mm", r.report.Deviation, r.report.LowestZ)
}

// span is the corrected motion between its start and its end.
func (r *run) span() readback.Span {
	return readback.Span{First: r.stats.First, Last: r.stats.Last}
}

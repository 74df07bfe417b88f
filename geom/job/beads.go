package job

import (
	"conewright/geom/deposit"
	"conewright/geom/machine"
	"conewright/geom/parallel"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// beadBatch is how many moves are handed over at once: enough that the
	// hand-over costs nothing beside them.
	beadBatch   = 1024
	beadBatches = 4
)

// beads judges the beads of the corrected motion on a goroutine of its own while
// the file is read back.
type beads struct {
	card  *machine.Card
	judge *deposit.Judge
	pipe  *parallel.Pipe[[]deposit.Move]
	out   *parallel.Sender[deposit.Move]
	axis  r3.Vec // of the nozzle at the end of the last move
}

func (r *run) judgeBeads() *beads {
	card := r.setup.Machine.Card
	var zones []deposit.Zone
	for i := range r.sources {
		g := r.sources[i].region
		z := deposit.Zone{Field: &g.Field, LayerHeight: g.Numbers.LayerHeight, Width: r.setup.Bead}
		if g.Base != nil {
			z.Base = g.Base
		}
		zones = append(zones, z)
	}
	b := &beads{card: card, judge: deposit.New(zones, card.RimRadius()), axis: card.NozzleAxis(0)}
	b.pipe = parallel.Consume(beadBatches, parallel.NoItems[deposit.Move], func(p *parallel.Pipe[[]deposit.Move]) error {
		return parallel.Each(p, func(m *deposit.Move) error { b.judge.Add(m); return nil })
	})
	b.out = parallel.SendTo(b.pipe, beadBatch)
	return b
}

// add hands a step that was read back to the judge.
func (b *beads) add(s *readback.Step) error {
	from := b.axis
	if s.To.Azimuth != s.From.Azimuth || s.To.Lean != s.From.Lean {
		b.axis = b.card.Axis(s.To) // also by the first move, which comes from an unknown place
	}
	if !s.Known {
		return nil
	}
	return b.out.Send(&deposit.Move{
		From: s.From.Tip, To: s.To.Tip, FromAxis: from, ToAxis: b.axis,
		Lays: s.Lays() && s.Zone >= 0, Retracts: s.E < 0, Support: s.Support, Zone: s.Zone, Line: s.Line,
	})
}

// report ends the judging.
func (b *beads) report() *deposit.Report {
	b.out.Flush()
	b.pipe.Close() // the judge doesn't fail
	return b.judge.Report()
}

// findBeads notes beads that hang, and where the nozzle's rim ploughs.
func (r *run) findBeads(rep *deposit.Report) {
	m, d := &r.result.Log.Motion, &rep.Digs
	m.Hanging, m.LongestHang, m.GreatestDig = tidy(rep.Hanging), tidy(rep.LongestHang), tidy(d.Deepest.Depth)
	r.result.Hangs = rep.Hangs
	for zone := range r.sources {
		r.findHangs(zone, rep.Hangs)
	}
	if total := d.BeadLength + d.TravelLength; total > 0 {
		r.find(Warn, "dig", r.zoneName(d.Deepest.Zone), d.Deepest.Line, point(d.Deepest.At),
			"the nozzle's rim goes %.2f mm deep into earlier beads, and deeper than a third of a shell on %.1f mm of beads and %.1f mm of travels: use a field nearer to %g degrees, or a greater lift",
			d.Deepest.Depth, d.BeadLength, d.TravelLength, r.setup.Machine.Card.Head.Tilt)
	}
	r.say("beads: %.0f mm of %.0f hang in runs over %g mm, the rim digs %.2f mm deep at most", rep.Hanging, rep.Length, deposit.ShortRun, d.Deepest.Depth)
}

// findHangs notes a zone's hanging beads, with the place of the longest.
func (r *run) findHangs(zone int, hangs []deposit.Hang) {
	var longest *deposit.Hang
	count, length := 0, 0.0
	for i := range hangs {
		h := &hangs[i]
		if h.Zone != zone {
			continue
		}
		count++
		length += h.Length
		if longest == nil || h.Length > longest.Length {
			longest = h
		}
	}
	if longest != nil {
		r.find(Warn, "hanging", r.zoneName(zone), longest.Line, point(longest.At),
			"%.0f mm of beads hang with nothing under them, in %d runs over %g mm, the longest %.1f mm: use another field, denser fill or more closed shells", length, count, deposit.ShortRun, longest.Length)
	}
}

package window

import (
	"math"

	"conewright/geom/job"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Steps of a part that is moved and turned on the bed by hand, unless that is free.
const (
	seatStep = 1.0 // mm
	turnStep = 5.0 // degrees
)

// movePart shows a part elsewhere on the bed, by mm from where the drag began. Its
// axes, lines and cuts go with it.
func (w *Window) movePart(_ int, by r2.Vec, free bool) {
	w.session.Preview(func(s *job.Setup) {
		to := [2]float64{onGrid(s.Part.Seat[0] + by.X), onGrid(s.Part.Seat[1] + by.Y)}
		if !free {
			to = [2]float64{onSteps(to[0], seatStep), onSteps(to[1], seatStep)}
		}
		s.MovePart(to)
	})
}

// turnPartBy shows a part turned on the bed, by radians from how it stood when the
// drag began.
func (w *Window) turnPartBy(_ int, by float64, free bool) {
	if w.held == nil {
		w.held = w.standing()
	}
	if w.held == nil {
		return // not read yet
	}
	w.session.Preview(func(s *job.Setup) {
		to := math.Round(s.Part.Turn[2] + by*180/math.Pi)
		if !free {
			to = onSteps(to, turnStep)
		}
		s.TurnPart(w.held, to-s.Part.Turn[2])
	})
}

// turnRamp shows the arrow of a ramp turned, by radians from where the drag began.
func (w *Window) turnRamp(zone int, by float64, free bool) {
	w.session.Preview(func(s *job.Setup) {
		if leaves := s.Leaves(); zone < len(leaves) && leaves[zone].Field.Has("toward") {
			f := leaves[zone].Field
			to := math.Round(f.Toward + by*180/math.Pi)
			if !free {
				to = onSteps(to, turnStep)
			}
			f.Toward = math.Remainder(to, 360)
		}
	})
}

// nudgeTurn turns a part or a ramp by an arrow key's step, degrees.
func (w *Window) nudgeTurn(item drawing.Item, by float64) {
	if item.Kind == drawing.RampItem {
		w.do("step.toward", func(s *job.Setup) {
			if leaves := s.Leaves(); item.Index < len(leaves) && leaves[item.Index].Field.Has("toward") {
				f := leaves[item.Index].Field
				f.Toward = math.Remainder(f.Toward+by, 360)
			}
		})
		return
	}
	w.session.ChoosePart(item.Index)
	if m := w.standing(); m != nil {
		w.do("step.turn", func(s *job.Setup) { s.TurnPart(m, by) })
	}
}

// onSteps rounds to whole steps.
func onSteps(v, step float64) float64 { return math.Round(v/step) * step }

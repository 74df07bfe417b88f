package window

import (
	"math"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/i18n"

	"gonum.org/v1/gonum/spatial/r3"
)

// remedy is what mends a finding: the words of a button, and a change of the
// setup that is a step of the history.
type remedy struct {
	words, step string
	change      func(*job.Setup)
}

// remedyOf returns what mends a finding, nil where nothing here surely does. box is
// the part as it stands.
// part is the setup of the part in question as if it stood alone.
func remedyOf(s, part *job.Setup, f *job.Finding, box r3.Box) *remedy {
	switch f.Code {
	case "off-square":
		return squareRemedy(part, f.Zone)
	case "reach":
		if len(s.Parts) > 0 {
			return nil // others may stand where it would go
		}
		return reachRemedy(s, box)
	case "thin-line":
		return numbersRemedy(s)
	}
	return nil
}

// squareRemedy makes a zone's shells lie square to a head that doesn't turn.
func squareRemedy(s *job.Setup, zone string) *remedy {
	leaf := leafNamed(s, zone)
	if leaf == nil {
		return nil
	}
	if _, over := offSquare(s, leaf.Field); !over {
		return nil
	}
	tilt := s.Machine.Card.Head.Tilt
	r := &remedy{words: i18n.T("mend.angle", "angle", degrees(tilt)), step: "step.angle"}
	own := s.OwnRamp()
	switch {
	case own != nil:
		r.words, r.step = i18n.T("mend.ramp", "angle", degrees(own.Angle)), "step.field"
		r.change = func(s *job.Setup) { *leafNamed(s, zone).Field = *own }
	case tilt == 0:
		r.words, r.step = i18n.T("mend.level"), "step.field"
		r.change = func(s *job.Setup) { setKind(s, leafNamed(s, zone).Field, job.KindLevel) }
	case leaf.Field.Has("curve"):
		return nil // which of its knots to turn is the maker's choice
	case leaf.Field.Level():
		r.words, r.step = i18n.T("mend.cone", "angle", degrees(tilt)), "step.field"
		r.change = func(s *job.Setup) { setKind(s, leafNamed(s, zone).Field, job.GrowOutward) }
	default:
		r.change = func(s *job.Setup) { leafNamed(s, zone).Field.Angle = tilt }
	}
	return r.ifMends(s, func(next *job.Setup) bool {
		_, over := offSquare(next, leafNamed(next, zone).Field)
		return !over
	})
}

// beyondTravel says where a part's box reaches over the travel, as a run finds it.
func beyondTravel(s *job.Setup, box r3.Box) []message.Text {
	travel := s.Machine.Card.PartTravel()
	return job.BeyondTravel(box, &travel)
}

// reachRemedy seats a part in the middle of the travel where it fits there.
func reachRemedy(s *job.Setup, box r3.Box) *remedy {
	if len(beyondTravel(s, box)) == 0 {
		return nil
	}
	travel := s.Machine.Card.PartTravel()
	to := *s.Part.Seat
	for i, l := range [2]machine.Limits{travel.X, travel.Y} {
		if !l.Endless() {
			to[i] = onGrid((l[0] + l[1]) / 2)
		}
	}
	by := r3.Vec{X: to[0] - s.Part.Seat[0], Y: to[1] - s.Part.Seat[1]}
	if len(beyondTravel(s, r3.Box{Min: r3.Add(box.Min, by), Max: r3.Add(box.Max, by)})) > 0 {
		return nil
	}
	return &remedy{words: i18n.T("mend.middle"), step: "step.seat", change: func(s *job.Setup) { s.MovePart(to) }}
}

// numbersRemedy makes layers low and lines wide enough for the nozzle: thinner
// shells first, since they make lines wider too.
func numbersRemedy(s *job.Setup) *remedy {
	next := s.Clone()
	const step = 0.01 // mm: as fine as people choose
	for ; next.Shell > step && !everyZone(next, job.LowEnough); next.Shell = hundredths(next.Shell - step) {
	}
	nozzle := s.Machine.Card.Nozzle
	for ; next.Bead < 2*nozzle && !everyZone(next, job.WideEnough); next.Bead = hundredths(next.Bead + step) {
	}
	if next.Shell == s.Shell && next.Bead == s.Bead {
		return nil
	}
	r := &remedy{
		words: i18n.T("mend.numbers", "shell", i18n.Number(next.Shell, 2), "bead", i18n.Number(next.Bead, 2)),
		step:  "step.shell", change: func(s *job.Setup) { s.Shell, s.Bead = next.Shell, next.Bead },
	}
	return r.ifMends(s, printable)
}

// printable reports whether layers are low and lines wide enough for the nozzle in every
// zone: a run warns where they aren't.
func printable(s *job.Setup) bool {
	return everyZone(s, job.LowEnough) && everyZone(s, job.WideEnough)
}

func everyZone(s *job.Setup, holds func(n *job.Numbers, nozzle float64) bool) bool {
	for _, leaf := range s.Leaves() {
		if n := s.Numbers(leaf.Field); !holds(&n, s.Machine.Card.Nozzle) {
			return false
		}
	}
	return true
}

// degrees writes an angle as short as it is.
func degrees(v float64) string {
	if v == math.Round(v) {
		return i18n.Number(v, 0)
	}
	return i18n.Number(v, 1)
}

func hundredths(v float64) float64 { return math.Round(v*100) / 100 }

// ifMends returns the remedy if the changed setup makes sense and is mended, else
// nil.
func (r *remedy) ifMends(s *job.Setup, mended func(*job.Setup) bool) *remedy {
	next := s.Clone()
	r.change(next)
	if next.Check() != nil || !mended(next) {
		return nil
	}
	return r
}

// askFor are the codes that another plan may mend: whether one does, only looking
// for it tells.
var askFor = map[string]bool{"overhang": true, "midair-start": true, "collision": true}

// offer is what a button beside a finding says and does; nil: nothing is known that
// mends it.
func (w *Window) offer(f *job.Finding) (words string, do func()) {
	s, facts := w.session.Setup(), w.session.Facts()
	if s == nil || facts == nil || facts.Model == nil || facts.Setup != s {
		return "", nil
	}
	part := max(partOfZone(s, f.Zone), 0)
	if r := remedyOf(s, s.Single()[part], f, facts.Model.Parts()[part].Mesh.Bounds()); r != nil {
		return r.words, func() {
			w.session.ChoosePart(part)
			w.do(r.step, r.change)
		}
	}
	if askFor[f.Code] {
		return i18n.T("ideas.ask"), func() {
			w.session.ChoosePart(part)
			w.route.show(w.route.find("zones"))
			w.session.Suggest()
		}
	}
	return "", nil
}

// remedyButton offers a remedy on a page, before any run.
type remedyButton struct {
	w      *Window
	button *focus.Button
}

func newRemedyButton(w *Window) *remedyButton {
	return &remedyButton{w, focus.NewButton("", nil)}
}

// show offers a remedy; nil offers nothing.
func (b *remedyButton) show(r *remedy) {
	visible(b.button, r != nil)
	if r != nil {
		b.button.OnTapped = func() { b.w.do(r.step, r.change) }
		if b.button.Text != r.words {
			b.button.SetText(r.words)
		}
	}
}

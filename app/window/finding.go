package window

import (
	"conewright/geom/job"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

// turnToFinding turns the sheet to a finding of the newest run and marks it,
// also where it isn't among those that are always marked.
func (w *Window) turnToFinding(i int) {
	run := w.session.Run()
	if run.Result == nil || i < 0 || i >= len(run.Result.Log.Findings) {
		return
	}
	f := &run.Result.Log.Findings[i]
	if !placed(f) {
		return
	}
	w.check.choose(i)
	w.showOnSheet()
	in, _ := w.scene()
	at := place(f)
	w.sheet.TurnTo(itemOf(&in, f), at)
}

// placed reports whether a finding has a place.
func placed(f *job.Finding) bool { return f.At != [3]float64{} }

func place(f *job.Finding) r3.Vec { return r3.Vec{X: f.At[0], Y: f.At[1], Z: f.At[2]} }

// sameStart is how near the sign of a mid-air start lies to its finding, mm.
const sameStart = 0.5

// itemOf returns the sign that stands on the sheet for a finding.
func itemOf(in *render.Input, f *job.Finding) drawing.Item {
	at := place(f)
	for i, p := range in.Findings {
		if p == at {
			return drawing.Item{Kind: drawing.FindingItem, Index: i}
		}
	}
	if f.Code == midairCode {
		for i, p := range in.MidAir {
			if r3.Norm(r3.Sub(p, at)) < sameStart {
				return drawing.Item{Kind: drawing.MidAirItem, Index: i}
			}
		}
	}
	return drawing.Item{}
}

const midairCode = "midair-start"

// markChosen adds the finding that is chosen to those marked on the sheet,
// unless a sign stands there already.
func (w *Window) markChosen(in *render.Input, log *job.Log) {
	i := w.check.chosen
	if log == nil || i < 0 || i >= len(log.Findings) {
		return
	}
	if f := &log.Findings[i]; placed(f) && itemOf(in, f) == (drawing.Item{}) {
		in.Findings = append(in.Findings[:len(in.Findings):len(in.Findings)], place(f))
	}
}

// signClicked opens the Check page at the finding whose sign was clicked.
func (w *Window) signClicked(item drawing.Item) {
	w.route.show(w.route.find("check"))
	run := w.session.Run()
	if !run.Current(w.session.Setup()) {
		return
	}
	in, _ := w.scene()
	for i := range run.Result.Log.Findings {
		if f := &run.Result.Log.Findings[i]; placed(f) && itemOf(&in, f) == item {
			w.check.choose(i)
			return
		}
	}
}

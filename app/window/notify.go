package window

import (
	"time"

	"conewright/i18n"

	"fyne.io/fyne/v2"
)

// longRun is how long a run must take to be told of when it ends: long enough
// that one turns to something else meanwhile.
const longRun = 20 * time.Second

// ends tells of the end of long runs while another program's window is in front.
type ends struct {
	w      *Window
	behind bool      // another program has the focus
	begun  time.Time // of the run under way; zero: none
}

func newEnds(w *Window) *ends {
	e := &ends{w: w}
	life := w.app.Lifecycle()
	life.SetOnExitedForeground(func() { w.post(func() { e.behind = true }) })
	life.SetOnEnteredForeground(func() { w.post(func() { e.behind = false }) })
	return e
}

// refresh sees whether a run has ended. The route must show its state already.
func (e *ends) refresh() {
	run := e.w.session.Run()
	if run.Active {
		e.begun = run.Begun
		return
	}
	ended := !e.begun.IsZero() && e.begun.Equal(run.Begun)
	e.begun = time.Time{}
	if ended && e.behind && run.Took >= longRun && !run.Cancelled() {
		e.w.app.SendNotification(fyne.NewNotification(i18n.T("notify.title"),
			e.w.session.Name()+": "+e.w.route.find("motion").row.state))
	}
}

package window

import (
	"errors"
	"net/url"
	"path/filepath"
	"time"

	"conewright/app/focus"
	"conewright/app/session"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// motionPage is operation 60: where motion comes from, the run, and where the
// files went.
type motionPage struct {
	w           *Window
	way         *choice
	own         *ownView
	run, cancel *focus.Button
	folder, log *focus.Button
	carry       *focus.Button
	result, fit *widget.Label
	estimate    *widget.Label     // of a plan that hasn't run
	motion      map[string]string // planar motion files by zone
	timeline    *timeline
}

// Ways to motion, as the page's choice has them.
const (
	wayHere = "here"
	wayOwn  = "own"
)

func newMotionPage(w *Window) *page {
	m := &motionPage{w: w, result: remark(), fit: remark(), estimate: remark()}
	m.way = newChoice([]string{wayHere, wayOwn}, func(way string) string { return i18n.T("motion.way." + way) }, m.choose)
	m.own = newOwnView(w)
	m.run = focus.NewButton(i18n.T("motion.run"), w.askRun)
	m.run.Importance = widget.HighImportance
	m.cancel = focus.NewButton(i18n.T("cancel"), w.session.Cancel)
	m.folder = focus.NewButton(i18n.T("motion.folder"), func() { w.openOutside(w.runDir()) })
	m.log = focus.NewButton(i18n.T("motion.log"), func() {
		w.openOutside(filepath.Join(w.runDir(), "run.html"))
	})
	m.carry = focus.NewButton(i18n.T("motion.carry"), m.askCarry)
	m.timeline = newTimeline(w)
	w.motion = m
	body := container.NewVBox(fields(caption(i18n.T("motion.way")), m.way), m.own.view, m.estimate, m.run, m.cancel, m.fit, m.result, m.carry,
		container.NewGridWithColumns(2, m.folder, m.log), m.timeline.view)
	return &page{number: "60", key: "motion", body: body, show: m.show}
}

func (m *motionPage) show() (string, mark) {
	s := m.w.session.Setup()
	run := m.w.session.Run()
	visible(m.cancel, run.Active)
	visible(m.run, !run.Active)
	earlier, current := m.w.session.Earlier()
	visible(m.folder, run.Result != nil || earlier != nil)
	visible(m.log, run.Result != nil || earlier != nil)
	visible(m.carry, run.Result != nil && !run.Stopped() || earlier != nil && earlier.Motion)
	enable(m.carry, run.Setup == s && !run.Active || earlier != nil && current && earlier.Match == job.SameRun)
	enable(m.run, s != nil)
	enable(m.way, s != nil && !run.Active)
	m.way.show(wayHere)
	if m.w.own.on {
		m.way.show(wayOwn)
	}
	m.w.own.refresh()
	m.own.show(m.motion)
	m.timeline.show()
	say(m.fit, m.w.own.fitText())
	say(m.estimate, m.estimateText(s, run))
	say(m.result, m.w.runText(run, s))
	if earlier != nil {
		say(m.result, earlierText(earlier, current))
	}
	switch {
	case s == nil:
		return i18n.T("state.later"), markNone
	case run.Active:
		return i18n.T("motion.running"), markNone
	case m.w.own.on && (run.Setup == nil || m.w.own.taken.After(run.Begun)):
		return m.own.count(m.motion), markNeeds
	case earlier != nil && current && earlier.Match == job.SameRun && earlier.Motion:
		if earlier.Warnings > 0 {
			return i18n.T("motion.state.earlier"), markNeeds
		}
		return i18n.T("motion.state.earlier"), markDone
	case run.Setup == nil || run.Cancelled():
		if e := m.w.session.Estimate(); e.Setup == s && e.Result != nil && m.plansAll() {
			return i18n.T("motion.later.about", "time", duration(e.Result.Seconds)), markNone
		}
		return i18n.T("motion.later"), markNone
	case run.Result == nil && run.Err != nil:
		return i18n.T("motion.failed"), markProblem
	case run.Setup != s:
		return i18n.T("motion.stale"), markNeeds
	case run.Stopped():
		return i18n.T("motion.stopped"), markProblem
	}
	key := "motion.state"
	if len(m.motion) > 0 {
		key = "motion.state.brought"
	}
	return i18n.N(key, run.Result.Log.Motion.Moves), markDone
}

// plansAll reports whether all motion is planned here: that of other programs isn't
// estimated.
func (m *motionPage) plansAll() bool { return !m.w.own.on && len(m.motion) == 0 }

// estimateText tells what the plan will take as long as no run of it has told. What
// is of the setup before a change ends with an ellipsis.
func (m *motionPage) estimateText(s *job.Setup, run *session.Run) string {
	e := m.w.session.Estimate()
	earlier, current := m.w.session.Earlier()
	if s == nil || !m.plansAll() || run.Active || run.Current(s) || earlier != nil && current && earlier.Match == job.SameRun {
		return "" // told already
	}
	var refused *job.InputError
	switch {
	case e.Result == nil && e.Setup == s && errors.As(e.Err, &refused):
		return errorText(e.Err)
	case e.Result == nil && e.Setup != s:
		return i18n.T("motion.estimating")
	case e.Result == nil:
		return ""
	}
	text := i18n.T("motion.estimate", "time", duration(e.Result.Seconds),
		"filament", i18n.Number(e.Result.Filament/1000, 2), "mass", i18n.Number(e.Result.Mass, 1)) + m.w.costText(e.Setup, e.Result.Mass)
	if e.Setup != s {
		text += " …"
	}
	return text
}

// choose chooses a way to motion.
func (m *motionPage) choose(way string) {
	if way == wayOwn {
		m.w.own.write()
		return
	}
	m.w.own.on, m.motion = false, nil
	m.w.refresh()
}

// takeMotion takes a planar motion file for a zone from the user's own slicer.
func (m *motionPage) takeMotion(zone, path string) {
	m.w.session.DropFit(zone) // the file may be another under the same name
	m.w.own.on, m.w.own.taken = true, time.Now()
	next := map[string]string{zone: path}
	for z, f := range m.motion {
		if z != zone {
			next[z] = f
		}
	}
	m.motion = next
	m.w.refresh()
}

// options are those of a run as the page stands.
func (m *motionPage) options() session.RunOptions {
	o := session.RunOptions{Out: m.w.session.OutDir(), Motion: map[string]string{}}
	for _, leaf := range m.w.session.Setup().Leaves() {
		if file, ok := m.motion[leaf.Name]; ok {
			o.Motion[leaf.Name] = file
		}
	}
	return o
}

// openOutside shows a file or folder in the system's own program.
func (w *Window) openOutside(path string) {
	abs, err := filepath.Abs(path)
	if err == nil {
		err = w.app.OpenURL(&url.URL{Scheme: "file", Path: filepath.ToSlash(abs)})
	}
	if err != nil {
		w.complain(err)
	}
}

func visible(o fyne.CanvasObject, on bool) {
	if on {
		o.Show()
	} else {
		o.Hide()
	}
}

package window

import (
	"net/url"
	"path/filepath"

	"conewright/app/session"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// motionPage is operation 60: run, bring motion from an own slicer, and where
// the files went.
type motionPage struct {
	w             *Window
	run, cancel   *widget.Button
	bring, forget *widget.Button
	folder, log   *widget.Button
	brought       *widget.Label
	result        *widget.Label
	motion        map[string]string // planar motion files by zone
}

func newMotionPage(w *Window) *page {
	m := &motionPage{w: w, brought: remark(), result: remark()}
	m.run = widget.NewButton(i18n.T("motion.run"), w.askRun)
	m.run.Importance = widget.HighImportance
	m.cancel = widget.NewButton(i18n.T("cancel"), w.session.Cancel)
	m.bring = widget.NewButton(i18n.T("motion.bring"), m.askMotion)
	m.forget = widget.NewButton(i18n.T("motion.forget"), func() { m.motion = nil; w.refresh() })
	m.folder = widget.NewButton(i18n.T("motion.folder"), func() { w.openOutside(w.session.Run().Out) })
	m.log = widget.NewButton(i18n.T("motion.log"), func() {
		w.openOutside(filepath.Join(w.session.Run().Out, "run.html"))
	})
	w.motion = m
	body := container.NewVBox(m.run, m.cancel, m.bring, m.brought, m.forget, m.result,
		container.NewGridWithColumns(2, m.folder, m.log))
	return &page{number: "60", key: "motion", body: body, show: m.show}
}

func (m *motionPage) show() (string, mark) {
	s := m.w.session.Setup()
	run := m.w.session.Run()
	visible(m.cancel, run.Active)
	visible(m.run, !run.Active)
	visible(m.forget, len(m.motion) > 0)
	visible(m.folder, run.Result != nil)
	visible(m.log, run.Result != nil)
	enable(m.run, s != nil)
	enable(m.bring, s != nil && !run.Active)
	say(m.brought, m.broughtText())
	say(m.result, runText(run, s))
	switch {
	case s == nil:
		return i18n.T("state.later"), markNone
	case run.Active:
		return i18n.T("motion.running"), markNone
	case run.Setup == nil || run.Cancelled():
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

func (m *motionPage) broughtText() string {
	text := ""
	s := m.w.session.Setup()
	if s == nil {
		return ""
	}
	for _, leaf := range s.Zones.Leaves() {
		if file, ok := m.motion[leaf.Name]; ok {
			text += "\n" + i18n.T("motion.from", "zone", leaf.Name, "file", filepath.Base(file))
		}
	}
	if text == "" {
		return ""
	}
	return text[1:]
}

// askMotion asks for the planar motion file of the zone that is chosen.
func (m *motionPage) askMotion() {
	zone := m.w.zones.chosen
	m.w.askFile(i18n.T("motion.ask", "zone", zone), []string{".gcode", ".gco", ".g", ".nc", ".ngc"}, func(path string) {
		m.takeMotion(zone, path)
	})
}

func (m *motionPage) takeMotion(zone, path string) {
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
	for _, leaf := range m.w.session.Setup().Zones.Leaves() {
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

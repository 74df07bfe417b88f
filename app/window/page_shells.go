package window

import (
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

var patterns = []string{"rings", "spokes", "lines", "grid"}

// newShellsPage is operation 40: shells, beads, and what the planner fills with.
func newShellsPage(w *Window) *page {
	shell := w.number(2, 0.01, "step.shell", func(s *job.Setup, v float64) { s.Shell = v })
	bead := w.number(2, 0.01, "step.bead", func(s *job.Setup, v float64) { s.Bead = v })
	tolerance := w.number(3, 0.005, "step.tolerance", func(s *job.Setup, v float64) { s.Tolerance = v })
	overhang := w.number(0, 1, "step.overhang", func(s *job.Setup, v float64) { s.Overhang = v })
	walls := w.number(0, 1, "step.walls", func(s *job.Setup, v float64) { s.Planner.Walls = int(v) })
	caps := w.number(0, 1, "step.caps", func(s *job.Setup, v float64) { s.Planner.Caps = int(v) })
	fill := w.number(0, 5, "step.fill", func(s *job.Setup, v float64) { s.Planner.Fill = v / 100 })
	pattern := newChoice(patterns, func(p string) string { return i18n.T("pattern." + p) }, func(p string) {
		w.do("step.pattern", func(s *job.Setup) { s.Planner.FillPattern = p })
	})
	speed := w.number(0, 5, "step.speed", func(s *job.Setup, v float64) { s.Planner.Speed = v })
	form := fields(
		caption(i18n.T("shells.shell")), shell,
		caption(i18n.T("shells.bead")), bead,
		caption(i18n.T("shells.tolerance")), tolerance,
		caption(i18n.T("shells.overhang")), overhang,
		widget.NewSeparator(), widget.NewSeparator(),
		caption(i18n.T("shells.walls")), walls,
		caption(i18n.T("shells.caps")), caps,
		caption(i18n.T("shells.fill")), fill,
		caption(i18n.T("shells.pattern")), pattern,
		caption(i18n.T("shells.speed")), speed,
	)
	p := &page{number: "40", key: "shells", body: container.NewVBox(form)}
	p.show = func() (string, mark) {
		s := w.session.Setup()
		if s == nil {
			form.Hide()
			return i18n.T("state.later"), markNone
		}
		form.Show()
		shell.show(s.Shell)
		bead.show(s.Bead)
		tolerance.show(s.Tolerance)
		overhang.show(s.Overhang)
		walls.show(float64(s.Planner.Walls))
		caps.show(float64(s.Planner.Caps))
		fill.show(s.Planner.Fill * 100)
		pattern.show(s.Planner.FillPattern)
		speed.show(s.Planner.Speed)
		return shellsText(s, w.session.Facts()), markDone
	}
	return p
}

package window

import (
	"slices"

	"conewright/app/lessons"
	"conewright/app/sheet"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// course lends the window to the lessons and takes it back: the user's setup,
// history, motion and way of looking lie aside meanwhile, untouched.
type course struct {
	w     *Window
	panel *lessons.Panel
	on    bool
	large bool
	kept  keptAside

	route, view fyne.CanvasObject
	strip       fyne.CanvasObject // the lesson's words under the sheet, while presenting
	side        *fyne.Container
}

// keptAside is what the window keeps beside the session while lessons last.
type keptAside struct {
	look   sheet.Looked
	motion map[string]string
	own    ownSlicer
	chosen string
}

// Large texts: how much larger, and the panel's width for them.
const (
	largeScale = 1.45
	largeWidth = 430
)

func newCourse(w *Window) *course {
	c := &course{w: w}
	c.panel = lessons.New(lessons.Stage{
		Dir:  w.settingsDir,
		Show: c.show,
		Try: func(change func(*job.Setup)) {
			w.session.Preview(change)
		},
		Settle:   func(step string) { w.session.EndPreview(step) },
		Look:     func(azimuth, elevation float64) { w.sheet.Fit(); w.sheet.Look(azimuth, elevation) },
		Warp:     func(v float64) { w.warp.SetValue(v) },
		Warped:   func() float64 { return w.sheet.Warp() },
		Setup:    func() *job.Setup { return w.session.Setup() },
		Figures:  c.figures,
		Number:   parseNumber,
		Keep:     c.keep,
		Handout:  w.askHandout,
		Present:  c.present,
		Leave:    c.leave,
		Complain: w.complain,
	}, w.settings.Lesson, w.settings.Solved)
	return c
}

// beside lays the lessons' panel over the route, anew after a change of language.
func (c *course) beside(route fyne.CanvasObject) fyne.CanvasObject {
	c.route, c.view, c.strip = route, c.panel.Build(), c.panel.BuildStrip()
	c.side = container.New(&fixedWidth{routeWidth}, container.NewStack(c.route, c.view))
	c.lay()
	return c.side
}

// lay shows the panel or the route, at the width of its texts.
func (c *course) lay() {
	visible(c.route, !c.on)
	visible(c.view, c.on)
	_, width := textSize(c.w.settings.TextSize)
	if c.on && c.large || c.w.present.on {
		width = max(width, largeWidth)
	}
	c.side.Layout = &fixedWidth{width}
	c.w.present.lay()
	if content := c.w.win.Content(); content != nil {
		content.Refresh()
	}
}

// keep remembers where one is in the course.
func (c *course) keep(lesson string, solved []string) {
	next := c.w.settings
	next.Lesson, next.Solved = lesson, slices.Clone(solved)
	c.w.remember(next)
}

// begin opens the first lesson, or the one that was left.
func (c *course) begin() {
	if c.on || c.w.settingsDir == "" || c.w.session.Run().Active {
		return
	}
	c.panel.Open(c.panel.At())
}

// show puts a lesson's setup on the sheet. The first one puts the user's aside.
func (c *course) show(s *job.Setup) {
	w := c.w
	w.pane.lay("")
	if !c.on {
		c.kept = keptAside{look: w.sheet.Looked(), motion: w.motion.motion, own: *w.own, chosen: w.zones.chosen}
		w.own.reset()
		c.on = true
		c.lay()
	}
	w.motion.motion = nil
	w.session.PutAside(s)
}

// end ends the lessons, where one is open: before something else is opened or
// the window closes.
func (c *course) end() {
	if c.on {
		c.panel.Leave()
	}
}

// leave puts everything back.
func (c *course) leave() {
	c.on = false
	w, k := c.w, c.kept
	c.kept = keptAside{}
	w.motion.motion, w.zones.chosen = k.motion, k.chosen
	// The watch of the folder runs on; what was being written is written again.
	k.own.armed, k.own.wanted, k.own.writing = w.own.armed, k.own.wanted || k.own.writing, false
	*w.own = k.own
	c.lay()
	w.session.TakeBack()
	w.sheet.LookAgain(k.look)
	w.warp.SetValue(w.sheet.Warp())
}

// present makes all texts large, or as they were.
func (c *course) present(on bool) {
	c.large = on
	c.w.ApplyAppearance()
}

func (c *course) refresh() {
	if c.on {
		c.panel.Refresh()
	}
}

// typed chooses an answer by its letter, where a lesson is open and nothing that
// is written in has the focus.
func (c *course) typed(r rune) {
	if c.on && !c.w.asking {
		c.panel.TypedRune(r)
	}
}

// clicked foretells where the lesson asks for a place of the sheet. What can be taken
// hold of there stays what it is.
func (c *course) clicked(u sheet.Under) {
	held := u.Item.Kind != drawing.Nothing && u.Item.Kind != drawing.PartItem // all of the part is a handle in plan
	if c.on && !held && (u.View == drawing.Elevation || u.View == drawing.Plan) {
		c.panel.Point(u.At, u.View == drawing.Plan)
	}
}

// figures sums up what the sheet shows.
func (c *course) figures() string {
	f := c.w.session.Facts()
	if f == nil || f.Err != nil || !f.Judged {
		return i18n.T("state.reading")
	}
	area, level, starts := 0.0, 0.0, 0
	for _, z := range f.Zones {
		area, level, starts = area+z.Overhang, level+z.LevelOverhang, starts+z.MidAirStarts
	}
	return i18n.T("zones.overhang", "area", i18n.Number(area, 0), "level", i18n.Number(level, 0)) + "\n" + i18n.N("zones.midair", starts)
}

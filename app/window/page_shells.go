package window

import (
	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// shellsPage is operation 40: shells, beads, and what the planner does. What few
// change stands in a second form that is folded at first.
type shellsPage struct {
	w           *Window
	chosen      *fyne.Container // the preset
	form, extra *fyne.Container
	more        *focus.Button
	filament    *filamentRows
	preset      *keptRows
	mend        *remedyButton
	unfolded    bool
	shows       []func(*job.Setup) // of the fields
}

func newShellsPage(w *Window) *page {
	p := &shellsPage{w: w, filament: newFilamentRows(w), preset: newPresetRows(w), mend: newRemedyButton(w)}
	w.shells = p
	p.chosen = fields(caption(i18n.T("preset.choice")), p.preset.choice)
	p.form = fields(p.common()...)
	p.extra = fields(p.rare()...)
	p.more = focus.NewButton("", func() { p.unfold(!p.unfolded) })
	p.more.Importance = widget.LowImportance
	p.unfold(false)
	body := container.NewVBox(p.chosen, p.preset.buttons, p.form, p.filament.buttons, p.more, p.extra, p.mend.button)
	return &page{number: "40", key: "shells", body: body, show: p.show}
}

// unfold shows the second form, or hides it.
func (p *shellsPage) unfold(on bool) {
	p.unfolded = on
	p.more.SetText(i18n.T("shells.more"))
	if on {
		p.more.SetText(i18n.T("shells.less"))
	}
	visible(p.extra, on)
	if p.w.route != nil {
		p.w.route.lay()
	}
}

// common are the rows that every job wants looked at.
func (p *shellsPage) common() []fyne.CanvasObject {
	return join(
		p.number("shells.shell", "step.shell", 2, 0.01, 1, func(s *job.Setup) *float64 { return &s.Shell }),
		p.number("shells.bead", "step.bead", 2, 0.01, 1, func(s *job.Setup) *float64 { return &s.Bead }),
		p.number("shells.tolerance", "step.tolerance", 3, 0.005, 1, func(s *job.Setup) *float64 { return &s.Tolerance }),
		p.number("shells.overhang", "step.overhang", 0, 1, 1, func(s *job.Setup) *float64 { return &s.Overhang }),
		p.choose("shells.support", "step.support", "support.", supports, func(s *job.Setup) *string { return &s.Support }),
		[]fyne.CanvasObject{widget.NewSeparator(), widget.NewSeparator()},
		p.whole("shells.walls", "step.walls", func(s *job.Setup) *int { return &s.Planner.Walls }),
		p.whole("shells.caps", "step.caps", func(s *job.Setup) *int { return &s.Planner.Caps }),
		p.number("shells.fill", "step.fill", 0, 5, 100, func(s *job.Setup) *float64 { return &s.Planner.Fill }),
		p.choose("shells.pattern", "step.pattern", "pattern.", patterns, func(s *job.Setup) *string { return &s.Planner.FillPattern }),
		p.number("shells.speed", "step.speed", 0, 5, 1, func(s *job.Setup) *float64 { return &s.Planner.Speed }),
		[]fyne.CanvasObject{widget.NewSeparator(), widget.NewSeparator()},
		[]fyne.CanvasObject{caption(i18n.T("filament.choice")), p.filament.choice},
		p.number("shells.nozzle", "step.material", 0, 5, 1, func(s *job.Setup) *float64 { return &s.Material.NozzleTemp }),
		p.number("shells.bed", "step.material", 0, 5, 1, func(s *job.Setup) *float64 { return &s.Material.BedTemp }),
		[]fyne.CanvasObject{caption(i18n.T("filament.price")), p.filament.price},
	)
}

// rare are the rows that are folded at first.
func (p *shellsPage) rare() []fyne.CanvasObject {
	return join(
		p.number("shells.fan", "step.material", 0, 5, 100, func(s *job.Setup) *float64 { return &s.Material.Fan }),
		p.number("shells.density", "step.material", 2, 0.01, 1, func(s *job.Setup) *float64 { return &s.Material.Density }),
		p.number("shells.travel", "step.travel", 0, 5, 1, func(s *job.Setup) *float64 { return &s.Planner.TravelSpeed }),
		p.choose("shells.order", "step.order", "order.", wallOrders, func(s *job.Setup) *string { return &s.Planner.WallOrder }),
		p.choose("shells.seam", "step.seam", "seam.", seams, func(s *job.Setup) *string { return &s.Planner.Seam }),
		p.number("shells.seamtoward", "step.seam", 0, 15, 1, func(s *job.Setup) *float64 { return &s.Planner.SeamToward }),
		p.number("shells.least", "step.cooling", 0, 1, 1, func(s *job.Setup) *float64 { return &s.Planner.LeastSeconds }),
		p.whole("shells.slowshells", "step.slow", func(s *job.Setup) *int { return &s.Planner.SlowShells }),
		p.number("shells.slow", "step.slow", 0, 5, 100, func(s *job.Setup) *float64 { return &s.Planner.SlowFactor }),
		p.number("shells.wipe", "step.wipe", 1, 0.5, 1, func(s *job.Setup) *float64 { return &s.Planner.Wipe }),
		p.whole("shells.skirt", "step.skirt", func(s *job.Setup) *int { return &s.Planner.Skirt }),
		p.number("shells.skirtdistance", "step.skirt", 1, 0.5, 1, func(s *job.Setup) *float64 { return &s.Planner.SkirtDistance }),
	)
}

// hints name the sentences for rows whose words alone don't say what the number does.
var hints = map[string]string{
	"shells.shell":         "hint.shell",
	"shells.tolerance":     "hint.tolerance",
	"shells.overhang":      "hint.overhang",
	"shells.least":         "hint.least",
	"shells.slowshells":    "hint.slowshells",
	"shells.slow":          "hint.slow",
	"shells.wipe":          "hint.wipe",
	"shells.skirtdistance": "hint.skirtdistance",
	"shells.seamtoward":    "hint.seamtoward",
}

// Values of the choices, in their order.
var (
	patterns   = []string{"rings", "spokes", "lines", "grid"}
	wallOrders = []string{job.InsideOut, job.OutsideIn}
	supports   = []string{job.SupportNone, job.SupportStarts, job.SupportAll}
	seams      = []string{job.SeamLine, job.SeamSpread, job.SeamNearest}
)

// number is a row for a number, shown as so many times what the job holds.
func (p *shellsPage) number(text, step string, decimals int, by, times float64, at func(*job.Setup) *float64) []fyne.CanvasObject {
	f := p.w.number(decimals, by, step, func(s *job.Setup, v float64) { *at(s) = v / times })
	p.shows = append(p.shows, func(s *job.Setup) { f.show(*at(s) * times) })
	if key, ok := hints[text]; ok {
		f.explain = p.w.explain(key)
	}
	return []fyne.CanvasObject{caption(i18n.T(text)), f}
}

// whole is a row for a whole number.
func (p *shellsPage) whole(text, step string, at func(*job.Setup) *int) []fyne.CanvasObject {
	f := p.w.number(0, 1, step, func(s *job.Setup, v float64) { *at(s) = int(v) })
	p.shows = append(p.shows, func(s *job.Setup) { f.show(float64(*at(s))) })
	if key, ok := hints[text]; ok {
		f.explain = p.w.explain(key)
	}
	return []fyne.CanvasObject{caption(i18n.T(text)), f}
}

// choose is a row for one of several values, whose texts begin with a key.
func (p *shellsPage) choose(text, step, key string, values []string, at func(*job.Setup) *string) []fyne.CanvasObject {
	c := newChoice(values, func(v string) string { return i18n.T(key + v) }, func(v string) {
		p.w.do(step, func(s *job.Setup) { *at(s) = v })
	})
	p.shows = append(p.shows, func(s *job.Setup) { c.show(*at(s)) })
	return []fyne.CanvasObject{caption(i18n.T(text)), c}
}

func join(rows ...[]fyne.CanvasObject) []fyne.CanvasObject {
	var all []fyne.CanvasObject
	for _, r := range rows {
		all = append(all, r...)
	}
	return all
}

func (p *shellsPage) show() (string, mark) {
	s := p.w.session.Setup()
	visible(p.form, s != nil)
	visible(p.filament.buttons, s != nil)
	visible(p.preset.buttons, s != nil)
	visible(p.chosen, s != nil)
	visible(p.more, s != nil)
	visible(p.extra, s != nil && p.unfolded)
	p.mend.show(nil)
	if s == nil {
		return i18n.T("state.later"), markNone
	}
	for _, show := range p.shows {
		show(s)
	}
	p.filament.show(s)
	p.preset.show(s)
	text := shellsText(s, p.w.session.Facts())
	if printable(s) {
		return text, markDone
	}
	p.mend.show(numbersRemedy(s))
	return i18n.T("zones.state.look", "zones", text), markNeeds
}

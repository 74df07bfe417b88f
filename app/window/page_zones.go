package window

import (
	"maps"
	"math"
	"slices"
	"strings"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// kinds are the fields that the choice offers: kind and, for cones, growth.
var kinds = []string{"outward", "inward", "ramp", "level", job.KindRidge, job.KindProfile}

// grows are the ways a ridge can grow.
var grows = []string{job.GrowOutward, job.GrowInward}

func kindOf(f *job.Field) string {
	if f.Kind == job.KindCone {
		return f.Grow
	}
	return f.Kind
}

// setKind changes a field's kind and keeps its numbers where they make sense.
func setKind(s *job.Setup, f *job.Field, kind string) {
	next := job.Field{Angle: f.Angle}
	if f.Has("curve") {
		next.Angle = min(f.Steepest(), mostConeAngle)
	}
	if next.Angle == 0 {
		next.Angle = defaultAngle(s)
	}
	middle := middleOf(s, f)
	switch kind {
	case "outward", "inward":
		next.Kind, next.Grow, next.Round = job.KindCone, kind, f.Round
		next.Axis = &middle
	case "ramp":
		next.Kind, next.Toward = job.KindRamp, f.Toward
		if own := s.OwnRamp(); own != nil && !f.Has("toward") {
			next = *own
		}
	case job.KindRidge:
		next.Kind, next.Grow, next.Round, next.Line = kind, growOf(f), f.Round, lineOf(f, middle)
	case job.KindProfile:
		next.Kind, next.Line = kind, lineOf(f, middle)
		if growOf(f) == job.GrowInward {
			next.Angle = -next.Angle
		}
		next.Curve = [][2]float64{{0, next.Angle}, {knotApart, next.Angle}}
		next.Angle = 0
	default:
		next = job.Field{Kind: job.KindLevel}
	}
	*f = next
}

// mostConeAngle is the steepest angle, degrees, that a cone takes over from a
// profile: nearly what a nozzle can be square on.
const mostConeAngle = 60.0

// growOf returns which way a field grows; outward where it doesn't say.
func growOf(f *job.Field) string {
	if f.Grow == job.GrowInward {
		return f.Grow
	}
	return job.GrowOutward
}

// middleOf returns a field's axis, or the middle of its line's extent, or the part's
// seat.
func middleOf(s *job.Setup, f *job.Field) [2]float64 {
	if f.Axis != nil {
		return *f.Axis
	}
	if len(f.Line) == 0 {
		return *s.Part.Seat
	}
	low, high := f.Line[0], f.Line[0]
	for _, p := range f.Line {
		low = [2]float64{min(low[0], p[0]), min(low[1], p[1])}
		high = [2]float64{max(high[0], p[0]), max(high[1], p[1])}
	}
	return [2]float64{onGrid((low[0] + high[0]) / 2), onGrid((low[1] + high[1]) / 2)}
}

// lineOf returns a field's line, or a short one along x through a place.
func lineOf(f *job.Field, middle [2]float64) [][2]float64 {
	if len(f.Line) > 0 {
		return slices.Clone(f.Line)
	}
	return [][2]float64{{onGrid(middle[0] - pointApart/2), middle[1]}, {onGrid(middle[0] + pointApart/2), middle[1]}}
}

// defaultAngle is what the head is square on, or the shallow cone that a
// straight nozzle clears.
func defaultAngle(s *job.Setup) float64 {
	if head := s.Machine.Card.Head; head.Tilt > 0 {
		return head.Tilt
	}
	return 15
}

// zonesPage is operation 30: where the part is cut and how each zone's shells lie.
type zonesPage struct {
	w      *Window
	chosen string // name of the zone whose field is shown

	part         *choice // of several
	zone         *choice
	name         *textField
	kind         *choice
	angle, round *numberField
	axis         [2]*numberField
	toward       *numberField
	cutHeight    *numberField
	cutTilt      *numberField
	only         *focus.Check // the cut takes one piece alone
	grow         *choice
	points       *pairRows // of a line
	knots        *pairRows // of a profile's curve
	rows         map[string][]fyne.CanvasObject
	figures      *widget.Label
	square       *remedyButton
	add, remove  *focus.Button
	foot         *focus.Button
	ideas        *suggestionsView
	form         *fyne.Container
}

func newZonesPage(w *Window) *page {
	z := &zonesPage{w: w}
	w.zones = z
	z.zone = newChoice(nil, nil, func(name string) { z.chosen = name; w.refresh() })
	z.part = newPartChoice(w)
	z.name = newTextField(z.rename, w.tellNumber)
	z.kind = newChoice(kinds, func(k string) string { return i18n.T("field." + k) }, func(k string) {
		z.change("step.field", func(s *job.Setup, f *job.Field) { setKind(s, f, k) })
	})
	z.angle = z.number(1, 1, "step.angle", func(f *job.Field, v float64) { f.Angle = v })
	z.round = z.number(1, 0.1, "step.round", func(f *job.Field, v float64) { f.Round = v })
	z.toward = z.number(1, 1, "step.toward", func(f *job.Field, v float64) { f.Toward = v })
	z.grow = newChoice(grows, func(g string) string { return i18n.T("grow." + g) }, func(g string) {
		z.change("step.field", func(_ *job.Setup, f *job.Field) { f.Grow = g })
	})
	z.points, z.knots = z.newPointRows(), z.newKnotRows()
	for i := range z.axis {
		z.axis[i] = z.number(1, 0.1, "step.axis", func(f *job.Field, v float64) { f.Axis[i] = v })
	}
	z.cutHeight = w.number(1, 0.1, "step.cut", func(s *job.Setup, v float64) {
		if cut := cutUnder(s, z.chosen); cut != nil {
			cut.Point[2] = v
		}
	})
	z.cutTilt = w.number(1, 1, "step.tilt", func(s *job.Setup, v float64) {
		if cut := cutUnder(s, z.chosen); cut != nil {
			tilt(cut, math.Remainder(v, 360))
		}
	})
	z.round.explain, z.toward.explain = w.explain("hint.round"), w.explain("hint.toward")
	z.only = focus.NewCheck(i18n.T("zones.only"), z.limitCut)
	z.add = focus.NewButton(i18n.T("zones.add"), z.addCut)
	z.remove = focus.NewButton(i18n.T("zones.remove"), z.removeCut)
	z.foot = focus.NewButton(i18n.T("zones.foot"), z.addFoot)
	z.figures, z.square = remark(), newRemedyButton(w)
	z.form = container.NewVBox()
	z.rows = map[string][]fyne.CanvasObject{
		"part":   {caption(i18n.T("parts.part")), z.part},
		"zone":   {caption(i18n.T("zones.zone")), z.zone},
		"name":   {caption(i18n.T("zones.name")), z.name},
		"cut":    {caption(i18n.T("zones.cut")), z.cutHeight},
		"tilt":   {caption(i18n.T("zones.tilt")), z.cutTilt},
		"only":   {caption(""), z.only},
		"kind":   {caption(i18n.T("zones.field")), z.kind},
		"angle":  {caption(i18n.T("zones.angle")), z.angle},
		"axis":   {caption(i18n.T("zones.axis")), container.NewGridWithColumns(2, z.axis[0], z.axis[1])},
		"grow":   {caption(i18n.T("zones.grow")), z.grow},
		"round":  {caption(i18n.T("zones.round")), z.round},
		"toward": {caption(i18n.T("zones.toward")), z.toward},
	}
	z.ideas = newSuggestionsView(w)
	body := container.NewVBox(z.form, z.figures, z.square.button, container.NewGridWithColumns(2, z.add, z.remove), z.foot, z.ideas.view)
	return &page{number: "30", key: "zones", body: body, show: z.show}
}

// rename gives the chosen zone another name. A motion file that was brought for it
// stays its own.
func (z *zonesPage) rename(name string) error {
	was, s := z.chosen, z.w.session.Setup()
	if s == nil {
		return nil
	}
	if err := s.Clone().RenameZone(was, name); err != nil {
		return err
	}
	z.chosen = name
	if file, ok := z.w.motion.motion[was]; ok {
		z.w.motion.motion = maps.Clone(z.w.motion.motion)
		delete(z.w.motion.motion, was)
		z.w.motion.motion[name] = file
	}
	return z.w.session.Do("step.rename", func(s *job.Setup) { _ = s.RenameZone(was, name) }) // it was tried
}

// number is an entry for a number of the chosen zone's field.
func (z *zonesPage) number(decimals int, step float64, name string, set func(*job.Field, float64)) *numberField {
	return z.w.number(decimals, step, name, func(s *job.Setup, v float64) {
		if leaf := leafNamed(s, z.chosen); leaf != nil {
			set(leaf.Field, v)
		}
	})
}

func (z *zonesPage) change(name string, set func(*job.Setup, *job.Field)) {
	z.w.do(name, func(s *job.Setup) {
		if leaf := leafNamed(s, z.chosen); leaf != nil {
			set(s, leaf.Field)
		}
	})
}

func (z *zonesPage) show() (string, mark) {
	z.ideas.show()
	s := z.w.session.Chosen()
	if s == nil {
		z.form.Hide()
		z.add.Hide()
		z.remove.Hide()
		z.foot.Hide()
		z.square.show(nil)
		say(z.figures, "")
		return i18n.T("state.later"), markNone
	}
	leaves := s.Zones.Leaves()
	leaf := leafNamed(s, z.chosen)
	if leaf == nil {
		leaf = leaves[0]
		z.chosen = leaf.Name
	}
	names := make([]string, len(leaves))
	for i, l := range leaves {
		names[i] = l.Name
	}
	z.zone.offer(names, func(n string) string { return n })
	z.zone.show(z.chosen)
	z.showField(s, leaf, len(leaves) > 1)
	z.form.Show()
	z.add.Show()
	z.remove.Show()
	enable(z.remove, len(leaves) > 1)
	visible(z.foot, footFits(s))
	return z.state(leaves)
}

// showField shows the rows that the chosen zone's field has.
func (z *zonesPage) showField(s *job.Setup, leaf *job.Zone, several bool) {
	f := leaf.Field
	z.kind.show(kindOf(f))
	z.angle.show(f.Angle)
	z.name.show(leaf.Name)
	rows := []string{"kind"}
	if several {
		rows = []string{"zone", "name", "kind"}
	}
	if len(z.w.session.Setup().Parts) > 0 {
		showParts(z.w, z.part)
		rows = append([]string{"part"}, rows...)
	}
	if f.Has("grow") && f.Has("line") { // a cone's is told by the choice of kinds
		rows = append(rows, "grow")
		z.grow.show(f.Grow)
	}
	if f.Has("angle") {
		rows = append(rows, "angle")
	}
	if f.Has("axis") {
		rows = append(rows, "axis")
		z.axis[0].show(f.Axis[0])
		z.axis[1].show(f.Axis[1])
	}
	if f.Has("toward") {
		rows = append(rows, "toward")
		z.toward.show(f.Toward)
	}
	if f.Has("round") {
		rows = append(rows, "round")
		z.round.show(f.Round)
	}
	if f.Has("curve") {
		rows = append(rows, "knots")
		z.rows["knots"] = z.knots.show(f.Curve)
	}
	if f.Has("line") {
		rows = append(rows, "points")
		z.rows["points"] = z.points.show(f.Line)
	}
	if cut := cutUnder(s, leaf.Name); cut != nil {
		rows = append(rows, "cut", "tilt", "only")
		z.only.SetChecked(cut.Only != nil)
		z.cutHeight.show(cut.Point[2])
		z.cutTilt.show(tiltOf(cut))
	}
	z.layout(rows)
	text := zoneText(z.w.session.Facts(), leaf.Name)
	if off, over := offSquare(s, f); over {
		text += "\n" + i18n.T("zones.offsquare", "angle", i18n.Number(off, 0), "most", i18n.Number(s.Machine.Card.Head.OffSquare, 0))
	}
	say(z.figures, strings.TrimSpace(text))
	z.square.show(squareRemedy(s, leaf.Name))
}

// layout puts the wanted rows into the form, if they aren't there already.
func (z *zonesPage) layout(rows []string) {
	var want []fyne.CanvasObject
	for _, r := range rows {
		want = append(want, z.rows[r]...)
	}
	if len(z.form.Objects) == 1 {
		have := z.form.Objects[0].(*fyne.Container).Objects
		same := len(have) == len(want)
		for i := 0; same && i < len(have); i++ {
			same = have[i] == want[i]
		}
		if same {
			return
		}
	}
	z.form.Objects = []fyne.CanvasObject{fields(want...)}
	z.form.Refresh()
}

func (z *zonesPage) state(leaves []*job.Zone) (string, mark) {
	text := i18n.T("zones.one", "field", fieldText(leaves[0].Field))
	if n := len(leaves); n > 1 {
		text = i18n.N("zones.many", n, "cuts", i18n.N("zones.cuts", n-1))
	}
	facts := z.w.session.Facts()
	switch {
	case facts == nil || facts.Err == nil:
		m := zonesMark(z.w.session.Setup(), facts)
		if m == markNeeds {
			text = i18n.T("zones.state.look", "zones", text)
		}
		return text, m
	case facts.Part == nil:
		return text, markNone
	}
	return errorText(facts.Err), markProblem
}

// fieldText names a field in a few words.
func fieldText(f *job.Field) string {
	name := i18n.T("field." + kindOf(f))
	if f.Level() {
		return name
	}
	return i18n.T("field.at", "field", name, "angle", i18n.Number(f.Steepest(), 0))
}

func enable(b fyne.Disableable, on bool) {
	if on {
		b.Enable()
	} else {
		b.Disable()
	}
}

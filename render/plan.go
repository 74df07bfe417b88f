package render

import (
	"math"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func (s *sketch) plan(m *model, f drawing.ViewFrame, lines spaceLines) {
	s.drawing.Frames = append(s.drawing.Frames, f)
	s.bedInPlan(m, &f)
	s.partMarks(m, &f)
	s.spaceLines(&f, lines)
	s.sectionMark(m, &f)
	s.lineMarks(&f) // before the axes: where a line is one point, that is taken hold of
	s.axisMarks(m, &f)
	s.rampMarks(m, &f)
	s.snap(&f)
	s.marks(m, &f)
	s.beads(m, &f)
	s.hanging(m, &f)
	s.head(&f)
	s.title(&f, s.in.Texts.Plan)
}

func (s *sketch) spaceKey(m *model, f *drawing.ViewFrame, gap float64) spaceKey {
	look := lookKey{solid: m.stamp.solid, toward: f.Toward, right: f.Right, sampling: newSampling(f.Scale, m.solid.Size()), window: windowOf(m, f)}
	return spaceKey{look: look, stamp: m.stamp, shell: s.in.Shell,
		nth: s.nth(f.Scale, gap), shells: len(s.in.Beads) == 0 && !s.in.Options.NoShells, warped: s.in.Warp > 0}
}

func (s *sketch) spaceLines(f *drawing.ViewFrame, lines spaceLines) {
	if s.in.Options.Hidden && len(s.in.Beads) == 0 { // what isn't printed yet hides nothing
		s.paths(f, style{pen: drawing.Hidden}, lines.edges.Hidden)
	}
	s.paths(f, style{pen: drawing.Shell}, lines.shells)
	s.paths(f, style{pen: drawing.Hatch}, lines.hatch.Visible)
	edges := style{pen: drawing.Visible}
	if len(s.in.Beads) > 0 { // what is printed comes first
		edges.tone = drawing.Faint
	}
	s.paths(f, edges, lines.edges.Visible)
}

// sectionMark draws the section plane in plan: its ends, arrows in the
// direction of view, its letter.
func (s *sketch) sectionMark(m *model, f *drawing.ViewFrame) {
	y := sectionAt(s.in, m)
	a := f.Paper(r3.Vec{X: m.solid.Min.X, Y: y})
	b := f.Paper(r3.Vec{X: m.solid.Max.X, Y: y})
	a.X, b.X = a.X-cutOver, b.X+cutOver
	a, b, ok := clipSegment(a, b, inFrame(f))
	if !ok {
		return
	}
	s.line(style{view: f.View, pen: drawing.Cut}, a, b)
	up := r2.Vec{Y: -1}
	s.cutEnd(f, drawing.Ink, a, r2.Vec{X: 1}, up)
	s.cutEnd(f, drawing.Ink, b, r2.Vec{X: -1}, up)
	for _, e := range [2]struct {
		x      float64
		anchor drawing.Anchor
	}{{a.X - 2, drawing.End}, {b.X + 2, drawing.Start}} {
		s.textIn(f, drawing.Text{Role: drawing.Tag, At: r2.Vec{X: e.x, Y: a.Y - 0.6}, Size: tagSize, Anchor: e.anchor, Halo: true, Words: sectionLetter})
	}
}

// Sizes of an axis in plan, mm of paper.
const (
	axisCross = 2.6 // half a stroke of its cross
	axisOut   = 5.  // of an axis over the part
)

// axisMarks draws the axes in elevation and plan, with a cross in plan, where they
// are taken hold of: a circle would read as a hole.
func (s *sketch) axisMarks(m *model, f *drawing.ViewFrame) {
	up, _ := s.drawing.FrameOf(drawing.Elevation)
	found := axes(m)
	for i := range m.zones { // a zone that shares its axis can be the one selected
		axis, ok := m.zones[i].field.Axis()
		if !ok {
			continue
		}
		item := drawing.Item{Kind: drawing.AxisItem, Index: i}
		at := f.Paper(r3.Vec{X: axis.X, Y: axis.Y})
		s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item, At: at, To: at})
	}
	for _, a := range found {
		tone, selected := s.axisTone(m, a)
		if up != nil {
			s.uprightAxis(up, a, tone)
		}
		s.planAxis(m, f, a, tone)
		at := f.Paper(r3.Vec{X: a.at.X, Y: a.at.Y})
		if !f.Rect.Contains(at) {
			continue
		}
		cross := style{f.View, drawing.Symbol, tone}
		s.line(cross, r2.Vec{X: at.X - axisCross, Y: at.Y}, r2.Vec{X: at.X + axisCross, Y: at.Y})
		s.line(cross, r2.Vec{X: at.X, Y: at.Y - axisCross}, r2.Vec{X: at.X, Y: at.Y + axisCross})
		if selected {
			s.axisWords(m, f, a, at)
		}
	}
}

// axisWords writes where the selected axis stands: beside it, or over the mark of
// the section where it would run into that.
func (s *sketch) axisWords(m *model, f *drawing.ViewFrame, a axis, at r2.Vec) {
	words := measured(a.at.X, s.in.Texts.Decimal) + "; " + measured(a.at.Y, s.in.Texts.Decimal)
	p := r2.Vec{X: at.X + axisCross + 2.4, Y: at.Y - 1.6}
	end := f.Paper(r3.Vec{X: m.solid.Max.X, Y: sectionAt(s.in, m)})
	if p.X+lettering.Width(words, measureSize) > end.X+cutOver && math.Abs(at.Y-end.Y) < cutArrow+measureSize {
		p.Y = end.Y - cutArrow - 1.6
	}
	s.textIn(f, drawing.Text{Role: drawing.Measure, Tone: drawing.Accent, Size: measureSize, Halo: true, At: p, Words: words})
}

func (s *sketch) axisTone(m *model, a axis) (tone drawing.Tone, selected bool) {
	for i, z := range m.zones {
		if z.sharesAxis(a) && s.selected(i, drawing.AxisItem) {
			return drawing.Accent, true
		}
	}
	return drawing.Ink, false
}

// uprightAxis draws an axis in the elevation: each view has its own line.
func (s *sketch) uprightAxis(f *drawing.ViewFrame, a axis, tone drawing.Tone) {
	top, foot := f.Paper(r3.Vec{X: a.at.X, Z: a.top}), f.Paper(r3.Vec{X: a.at.X, Z: a.bottom})
	top.Y, foot.Y = top.Y-axisOut, foot.Y+axisOut
	clipLine([]r2.Vec{top, foot}, f.Rect, func(p []r2.Vec) { s.line(style{f.View, drawing.Axis, tone}, p...) })
}

// planAxis draws an axis through the plan, as the plane in which it lies.
func (s *sketch) planAxis(m *model, f *drawing.ViewFrame, a axis, tone drawing.Tone) {
	front := f.Paper(r3.Vec{X: a.at.X, Y: m.solid.Min.Y})
	back := f.Paper(r3.Vec{X: a.at.X, Y: m.solid.Max.Y})
	front.Y, back.Y = front.Y+axisOut, back.Y-axisOut
	clipLine([]r2.Vec{back, front}, f.Rect, func(p []r2.Vec) { s.line(style{f.View, drawing.Axis, tone}, p...) })
}

// axisHandles makes the upper ends of axes in the elevation places to take hold
// of.
func (s *sketch) axisHandles(m *model, f *drawing.ViewFrame) {
	for _, a := range axes(m) {
		foot := f.Paper(r3.Vec{X: a.at.X, Z: a.top})
		top := r2.Vec{X: foot.X, Y: foot.Y - axisOut}
		if !f.Rect.Contains(foot) || !f.Rect.Contains(top) {
			continue
		}
		for i, z := range m.zones { // that share it
			if z.sharesAxis(a) {
				s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: drawing.Item{Kind: drawing.AxisItem, Index: i}, At: top, To: foot})
			}
		}
	}
}

// elevationAxes draws the axes where the elevation stands alone.
func (s *sketch) elevationAxes(m *model, f *drawing.ViewFrame) {
	for _, a := range axes(m) {
		tone, _ := s.axisTone(m, a)
		s.uprightAxis(f, a, tone)
	}
}

// rampMarks draws an arrow toward which the shells of each ramp fall.
func (s *sketch) rampMarks(m *model, f *drawing.ViewFrame) {
	for i, z := range m.zones {
		toward, ok := z.field.Azimuth(r2.Vec{})
		if !ok || !z.field.Linear() {
			continue
		}
		middle := m.middle()
		if len(m.parts) > 1 { // of its own part
			box := z.mesh.Bounds()
			middle = r3.Scale(0.5, r3.Add(box.Min, box.Max))
		}
		d := unitAt(toward)
		from := f.Paper(middle)
		const off = 4.5 // of the mark of the section, where the arrow would lie on it
		if line := f.Paper(r3.Vec{Y: sectionAt(s.in, m)}).Y; math.Abs(d.Y) < 0.5 && math.Abs(from.Y-line) < off {
			from.Y = line - off
		}
		to := from
		from = r2.Sub(from, r2.Scale(8, d))
		to = r2.Add(to, r2.Scale(8, d))
		item := drawing.Item{Kind: drawing.RampItem, Index: i}
		st := style{f.View, drawing.Symbol, s.tone(item)}
		if f.Rect.Contains(from) && f.Rect.Contains(to) {
			s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item, At: from, To: to})
		}
		s.line(st, from, to)
		s.arrow(st, to, d)
		t := s.besideArrow(m, f, from, to)
		t.Role, t.Size, t.Halo = drawing.Measure, measureSize, true
		t.Words = number(degrees(z.field.Angle()), 0, s.in.Texts.Decimal) + "°"
		s.textIn(f, t)
	}
}

// besideArrow returns a text at the end of an arrow that is farther from any
// axis; at the left one of equals, since words of an axis stand right of it.
func (s *sketch) besideArrow(m *model, f *drawing.ViewFrame, a, b r2.Vec) drawing.Text {
	if b.X < a.X {
		a, b = b, a
	}
	clear := func(p r2.Vec) float64 {
		least := math.Inf(1)
		for _, x := range axes(m) {
			least = min(least, r2.Norm(r2.Sub(p, f.Paper(r3.Vec{X: x.at.X, Y: x.at.Y}))))
		}
		return least
	}
	base := lettering.CapHeight / 2 * measureSize
	if clear(b) > clear(a)+sameAxis {
		return drawing.Text{At: r2.Add(b, r2.Vec{X: 1.2, Y: base})}
	}
	return drawing.Text{Anchor: drawing.End, At: r2.Add(a, r2.Vec{X: -1.2, Y: base})}
}

// snap draws a square on its corner round the place that a drag has snapped to.
func (s *sketch) snap(f *drawing.ViewFrame) {
	if s.in.Snap == nil {
		return
	}
	const reach = 4.4
	at := f.Paper(s.in.Snap.At)
	if !f.Rect.Contains(at) {
		return
	}
	s.loop(style{f.View, drawing.Symbol, drawing.Accent},
		r2.Vec{X: at.X - reach, Y: at.Y}, r2.Vec{X: at.X, Y: at.Y - reach}, r2.Vec{X: at.X + reach, Y: at.Y}, r2.Vec{X: at.X, Y: at.Y + reach})
	s.textIn(f, drawing.Text{Role: drawing.Label, Tone: drawing.Accent, Size: labelSize, Halo: true,
		At: r2.Vec{X: at.X + reach + 0.6, Y: at.Y + labelSize + 0.6}, Words: s.in.Snap.Words})
}

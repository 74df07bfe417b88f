package render

import (
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// PointAt returns which point of which zone's line an index of drawing.PointItem
// stands for; false: none.
func (in *Input) PointAt(index int) (zone, point int, ok bool) {
	for i := range in.Zones {
		n := len(in.Zones[i].Points)
		if index >= 0 && index < n {
			return i, index, true
		}
		index -= n
	}
	return 0, 0, false
}

// lineRadius is the radius of the circle round a point of a line, mm of paper.
const lineRadius = 1.4

// lineMarks draws the lines that fields are about, with a circle at each point, where
// it is taken hold of.
func (s *sketch) lineMarks(f *drawing.ViewFrame) {
	index := 0
	for i := range s.in.Zones {
		points := s.in.Zones[i].Points
		if len(points) == 0 {
			continue
		}
		tone := drawing.Ink
		if zone, _, ok := s.in.PointAt(s.in.Options.Selected.Index); ok && zone == i && s.in.Options.Selected.Kind == drawing.PointItem {
			tone = drawing.Accent
		}
		line := make([]r3.Vec, len(points))
		for k, p := range points {
			line[k] = r3.Vec{X: p.X, Y: p.Y}
			s.linePoint(f, drawing.Item{Kind: drawing.PointItem, Index: index}, line[k])
			index++
		}
		s.curve(f, style{pen: drawing.Axis, tone: tone}, line...)
	}
}

// linePoint draws a point of a line; the selected one says where it stands.
func (s *sketch) linePoint(f *drawing.ViewFrame, item drawing.Item, p r3.Vec) {
	at := f.Paper(p)
	if !f.Rect.Contains(at) {
		return
	}
	tone := s.tone(item)
	s.drawing.Marks = append(s.drawing.Marks, drawing.Mark{View: f.View, Tone: tone, Item: item, At: at, Radius: lineRadius})
	s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item, At: at, To: at})
	if tone == drawing.Accent {
		words := measured(p.X, s.in.Texts.Decimal) + "; " + measured(p.Y, s.in.Texts.Decimal)
		s.textIn(f, drawing.Text{Role: drawing.Measure, Tone: drawing.Accent, Size: measureSize, Halo: true,
			At: r2.Vec{X: at.X + 2*lineRadius + 1, Y: at.Y - 1.6}, Words: words})
	}
}

package render

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

func (s *sketch) pictorial(m *model, f drawing.ViewFrame, lines spaceLines) {
	s.drawing.Frames = append(s.drawing.Frames, f)
	s.spaceLines(&f, lines)
	s.paths(&f, style{pen: drawing.Cut}, lines.cuts)
	tone := drawing.Ink
	if s.in.Options.Selected.Kind == drawing.AxisItem {
		tone = drawing.Accent
	}
	s.paths(&f, style{pen: drawing.Axis, tone: tone}, lines.axes)
	s.marks(m, &f)
	s.beads(m, &f)
	s.hanging(m, &f)
	s.head(&f)
	s.wholeBed(m, &f)
	s.title(&f, s.in.Texts.Pictorial)
}

// unitAt returns the direction of an azimuth on paper, seen from above.
func unitAt(azimuth float64) r2.Vec {
	sin, cos := math.Sincos(azimuth)
	return r2.Vec{X: cos, Y: -sin}
}

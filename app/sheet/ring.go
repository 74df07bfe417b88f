package sheet

import (
	appearance "conewright/app/look"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// The ring about the pointer, which a class sees from the last row, in the
// toolkit's units.
const (
	ringRadius = 26
	ringWidth  = 3
)

func newPointerRing() *canvas.Circle {
	c := canvas.NewCircle(nil)
	c.StrokeWidth, c.Hidden = ringWidth, true
	c.Resize(fyne.NewSquareSize(2 * ringRadius))
	return c
}

// Ring draws a ring about the pointer while it is over the sheet, or doesn't.
func (s *Sheet) Ring(on bool) {
	s.ringed = on
	if !on {
		s.hideRing()
	}
}

// moveRing brings the ring to the pointer.
func (s *Sheet) moveRing(to fyne.Position) {
	if !s.ringed {
		return
	}
	s.pointer.StrokeColor = appearance.Palette().Accent
	s.pointer.Move(to.SubtractXY(ringRadius, ringRadius))
	s.pointer.Show()
	s.pointer.Refresh()
}

func (s *Sheet) hideRing() {
	s.pointer.Hide()
	s.pointer.Refresh()
}

package sheet

import (
	"math"

	"conewright/app/trace"

	"fyne.io/fyne/v2"
	"gonum.org/v1/gonum/spatial/r2"
)

// grip is where along its line a cut is taken hold of: off the middle, where an
// axis often crosses it.
const grip = 0.2

// traced tells a test where the views and the handles are in the window.
func (s *Sheet) traced() []trace.Handle {
	driver := fyne.CurrentApp().Driver()
	c := driver.CanvasForObject(s)
	if c == nil || s.drawn == nil {
		return nil
	}
	corner := driver.AbsolutePositionForObject(s)
	pixels, unit := float64(c.Scale()), s.unit()
	var found []trace.Handle
	for _, h := range s.drawn.Handles {
		item := itemNames[h.Item.Kind]
		f, ok := s.drawn.FrameOf(h.View)
		if item == "" || !ok {
			continue
		}
		at := r2.Scale(unit, r2.Add(r2.Scale(1-grip, h.At), r2.Scale(grip, h.To)))
		found = append(found, trace.Handle{View: h.View.String(), Item: item, Index: h.Item.Index,
			X:     int(math.Round((float64(corner.X) + at.X) * pixels)),
			Y:     int(math.Round((float64(corner.Y) + at.Y) * pixels)),
			Scale: f.Scale * unit * pixels})
	}
	for _, f := range s.drawn.Frames {
		at := r2.Scale(unit, f.Rect.Center())
		found = append(found, trace.Handle{View: f.View.String(), Item: "view",
			X:     int(math.Round((float64(corner.X) + at.X) * pixels)),
			Y:     int(math.Round((float64(corner.Y) + at.Y) * pixels)),
			Scale: f.Scale * unit * pixels})
	}
	return found
}

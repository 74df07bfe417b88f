package render

import (
	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// title writes a view's name, which is a handle, and what else is to say of it: behind it where
// there is room, else under it.
func (s *sketch) title(f *drawing.ViewFrame, name string, more ...string) {
	room := f.Rect.Width() - 1
	at := r2.Vec{X: f.Rect.Min.X, Y: f.Rect.Min.Y + labelSize}
	line := func(words string) {
		s.text(drawing.Text{View: f.View, Role: drawing.Label, Tone: drawing.Faint, Size: labelSize, Halo: true,
			At: at, Words: lettering.Fit(words, labelSize, room)})
		at.Y += 1.35 * labelSize
	}
	mid := at.Y - lettering.CapHeight*labelSize/2
	s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: drawing.Item{Kind: drawing.TitleItem, Index: int(f.View)},
		At: r2.Vec{X: at.X, Y: mid}, To: r2.Vec{X: at.X + min(lettering.Width(name, labelSize), room), Y: mid}})
	words := name
	for _, m := range more {
		if joined := words + ", " + m; lettering.Width(joined, labelSize) <= room {
			words = joined
			continue
		}
		line(words)
		words = m
	}
	line(words)
}

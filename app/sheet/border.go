package sheet

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// border is the line round the sheet, a bar on each side: one rectangle over all of
// it would have the toolkit look at every pixel of the sheet for each frame.
type border [4]*canvas.Rectangle

func newBorder() (b border) {
	for i := range b {
		b[i] = canvas.NewRectangle(color.Transparent)
	}
	return b
}

// show lays the border into a size, a line of the given width.
func (b *border) show(size fyne.Size, width float32, c color.Color) {
	for i, bar := range b {
		bar.FillColor = c
		at := fyne.Position{}
		switch i {
		case 0, 1: // top and bottom
			bar.Resize(fyne.NewSize(size.Width, width))
		default:
			bar.Resize(fyne.NewSize(width, size.Height))
		}
		switch i {
		case 1:
			at.Y = size.Height - width
		case 3:
			at.X = size.Width - width
		}
		bar.Move(at)
		bar.Refresh()
	}
}

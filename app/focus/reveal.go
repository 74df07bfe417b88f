// Package focus keeps everything in reach of the keyboard: what gets the focus
// scrolls into view and is framed, and long texts scroll by keys.
package focus

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// margin is what stays visible beyond what was scrolled to, in the toolkit's
// units: enough to see that something follows.
const margin = 8

// Reveal scrolls whatever an object lies in until it is seen. The toolkit
// doesn't when the focus moves on to what is out of sight.
func Reveal(o fyne.CanvasObject) {
	driver, scrolls := fyne.CurrentApp().Driver(), scrollsAround(o)
	for i := len(scrolls) - 1; i >= 0; i-- { // the innermost first
		s := scrolls[i]
		top := driver.AbsolutePositionForObject(o).Y - driver.AbsolutePositionForObject(s.Content).Y
		to := seen(s.Offset.Y, s.Size().Height, top, o.Size().Height)
		if most := s.Content.Size().Height - s.Size().Height; to > most {
			to = max(most, 0)
		}
		if to != s.Offset.Y {
			s.ScrollToOffset(fyne.NewPos(s.Offset.X, to))
		}
	}
}

// seen returns how far to scroll a view of a height, from an offset, so that
// what begins at top and is so high is seen: its beginning, where it is too high.
func seen(offset, view, top, height float32) float32 {
	if top+height+margin > offset+view {
		offset = top + height + margin - view
	}
	if top-margin < offset {
		offset = max(top-margin, 0)
	}
	return offset
}

// scrollsAround returns the scrolls that an object lies in as it is shown, the
// outermost first.
func scrollsAround(o fyne.CanvasObject) []*container.Scroll {
	c := fyne.CurrentApp().Driver().CanvasForObject(o)
	if c == nil {
		return nil
	}
	root := c.Content()
	if top := c.Overlays().Top(); top != nil {
		root = top
	}
	scrolls, _ := around(root, o)
	return scrolls
}

// around returns the scrolls that an object lies in, the outermost first, and
// whether it lies below root at all.
func around(root, o fyne.CanvasObject) ([]*container.Scroll, bool) {
	if root == o {
		return nil, true
	}
	switch at := root.(type) {
	case *fyne.Container:
		return among(at.Objects, o)
	case *container.ThemeOverride:
		return around(at.Content, o)
	case *container.Split:
		return among([]fyne.CanvasObject{at.Leading, at.Trailing}, o)
	case *widget.PopUp:
		return around(at.Content, o)
	case *Text:
		return around(at.scroll, o)
	case *container.Scroll:
		if inner, ok := around(at.Content, o); ok {
			return append([]*container.Scroll{at}, inner...), true
		}
	}
	return nil, false
}

func among(objects []fyne.CanvasObject, o fyne.CanvasObject) ([]*container.Scroll, bool) {
	for _, child := range objects {
		if scrolls, ok := around(child, o); ok {
			return scrolls, true
		}
	}
	return nil, false
}

package focus

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// Text is a scroll that takes the focus, so that what is read in it can be
// scrolled by keys: a line, a page, to either end.
type Text struct {
	widget.BaseWidget
	Escape func() // what Escape does while the text has the focus; nil: nothing
	scroll *container.Scroll
	ring   Ring
}

var _ fyne.Focusable = (*Text)(nil)

// NewText returns a scroll over something to read.
func NewText(content fyne.CanvasObject) *Text {
	t := &Text{scroll: container.NewVScroll(content)}
	t.ExtendBaseWidget(t)
	return t
}

// Put replaces what is read, from its beginning.
func (t *Text) Put(content fyne.CanvasObject) {
	t.scroll.Content = content
	t.scroll.Refresh()
	t.scroll.ScrollToTop()
}

// Content returns what is read.
func (t *Text) Content() fyne.CanvasObject { return t.scroll.Content }

// ScrollToTop goes back to the beginning.
func (t *Text) ScrollToTop() { t.scroll.ScrollToTop() }

// Steps of scrolling: a few lines, and a page less what one keeps for the eye.
const (
	step     = 40
	pagePart = 0.9
)

// TypedKey scrolls.
func (t *Text) TypedKey(e *fyne.KeyEvent) {
	at, view := t.scroll.Offset.Y, t.scroll.Size().Height
	most := max(t.scroll.Content.Size().Height-view, 0)
	if most == 0 && (e.Name == fyne.KeyPageDown || e.Name == fyne.KeyPageUp) {
		PassOn(t, e) // all of it is seen
		return
	}
	switch e.Name {
	case fyne.KeyDown:
		at += step
	case fyne.KeyUp:
		at -= step
	case fyne.KeyPageDown, fyne.KeySpace:
		at += pagePart * view
	case fyne.KeyPageUp:
		at -= pagePart * view
	case fyne.KeyHome:
		at = 0
	case fyne.KeyEnd:
		at = most
	case fyne.KeyEscape:
		if t.Escape != nil {
			t.Escape()
		}
		return
	default:
		if windowKey(e.Name) {
			PassOn(t, e)
		}
		return
	}
	t.scroll.ScrollToOffset(fyne.NewPos(0, min(max(at, 0), most)))
}

// TypedRune leaves letters to the window.
func (t *Text) TypedRune(r rune) { PassOnRune(t, r) }

// FocusGained frames the text.
func (t *Text) FocusGained() { t.ring.Show(true) }

// FocusLost takes the frame away.
func (t *Text) FocusLost() { t.ring.Show(false) }

// CreateRenderer is the toolkit's door.
func (t *Text) CreateRenderer() fyne.WidgetRenderer {
	return t.ring.Around(widget.NewSimpleRenderer(t.scroll))
}

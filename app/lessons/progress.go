package lessons

import (
	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// progress is a line of numbered cells, one a lesson: the open one filled, one
// whose exercise is solved underlined. A click opens a lesson; with the focus
// the arrow keys, Home and End do.
type progress struct {
	widget.BaseWidget
	count  int
	at     int
	solved func(int) bool
	open   func(int)
	ring   focus.Ring
}

var (
	_ fyne.Focusable     = (*progress)(nil)
	_ fyne.Tappable      = (*progress)(nil)
	_ desktop.Cursorable = (*progress)(nil)
)

func newProgress(count int, solved func(int) bool, open func(int)) *progress {
	p := &progress{count: count, solved: solved, open: open}
	p.ExtendBaseWidget(p)
	return p
}

// show marks the open lesson.
func (p *progress) show(at int) {
	p.at = at
	p.Refresh()
}

// Tapped opens the lesson of the cell.
func (p *progress) Tapped(e *fyne.PointEvent) {
	if w := p.Size().Width; w > 0 {
		p.open(min(max(int(e.Position.X/w*float32(p.count)), 0), p.count-1))
	}
}

// TypedKey opens another lesson.
func (p *progress) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyLeft, fyne.KeyUp:
		p.open(max(p.at-1, 0))
	case fyne.KeyRight, fyne.KeyDown:
		p.open(min(p.at+1, p.count-1))
	case fyne.KeyHome:
		p.open(0)
	case fyne.KeyEnd:
		p.open(p.count - 1)
	default:
		focus.PassOn(p, e)
	}
}

// TypedRune leaves letters to the window.
func (p *progress) TypedRune(r rune) { focus.PassOnRune(p, r) }

// FocusGained frames the line.
func (p *progress) FocusGained() { p.ring.Show(true) }

// FocusLost takes the frame away.
func (p *progress) FocusLost() { p.ring.Show(false) }

// Cursor is a hand.
func (p *progress) Cursor() desktop.Cursor { return desktop.PointerCursor }

// CreateRenderer is the toolkit's door.
func (p *progress) CreateRenderer() fyne.WidgetRenderer {
	p.ExtendBaseWidget(p)
	r := &progressRenderer{p: p, open: canvas.NewRectangle(nil)}
	for i := range p.count {
		t := canvas.NewText(i18n.Integer(i+1), nil)
		t.Alignment = fyne.TextAlignCenter
		r.numbers, r.solved = append(r.numbers, t), append(r.solved, canvas.NewRectangle(nil))
	}
	return p.ring.Around(r)
}

// progressRenderer draws the cells.
type progressRenderer struct {
	p       *progress
	open    *canvas.Rectangle // under the open lesson's number
	numbers []*canvas.Text
	solved  []*canvas.Rectangle // under solved lessons' numbers
}

// solvedHeight is the thickness of the line under a solved lesson's number, in
// the toolkit's units.
const solvedHeight = 3

// Layout places the cells side by side.
func (r *progressRenderer) Layout(size fyne.Size) {
	cell := size.Width / float32(len(r.numbers))
	for i, t := range r.numbers {
		left := cell * float32(i)
		t.Move(fyne.NewPos(left, 0))
		t.Resize(fyne.NewSize(cell, size.Height-solvedHeight))
		r.solved[i].Move(fyne.NewPos(left+2, size.Height-solvedHeight))
		r.solved[i].Resize(fyne.NewSize(cell-4, solvedHeight))
		if i == r.p.at {
			r.open.Move(fyne.NewPos(left, 0))
			r.open.Resize(fyne.NewSize(cell, size.Height-solvedHeight))
		}
	}
}

// MinSize has room for the numbers.
func (r *progressRenderer) MinSize() fyne.Size {
	widest := r.numbers[len(r.numbers)-1].MinSize()
	return fyne.NewSize((widest.Width+2)*float32(len(r.numbers)), widest.Height+solvedHeight+4)
}

// Refresh draws the cells in the theme's colours.
func (r *progressRenderer) Refresh() {
	th, v := r.p.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	ink := th.Color(theme.ColorNameForeground, v)
	r.open.FillColor = ink
	for i, t := range r.numbers {
		t.TextSize, t.Color = th.Size(theme.SizeNameCaptionText), ink
		if i == r.p.at {
			t.Color = th.Color(theme.ColorNameBackground, v)
		}
		r.solved[i].FillColor = ink
		r.solved[i].Hidden = !r.p.solved(i)
		r.solved[i].Refresh()
		t.Refresh()
	}
	r.Layout(r.p.Size())
	r.open.Refresh()
}

// Objects are the open lesson's ground, the lines and the numbers.
func (r *progressRenderer) Objects() []fyne.CanvasObject {
	all := []fyne.CanvasObject{r.open}
	for i := range r.numbers {
		all = append(all, r.solved[i], r.numbers[i])
	}
	return all
}

// Destroy does nothing.
func (r *progressRenderer) Destroy() {}

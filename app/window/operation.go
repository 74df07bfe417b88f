package window

import (
	"image/color"

	"conewright/app/focus"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// mark tells an operation's state by its shape, not by colour alone.
type mark int

const (
	markNone    mark = iota // –: not yet
	markDone                // a tick, drawn: not every system's font has one
	markNeeds               // !: needs a look
	markProblem             // ×
)

func (m mark) sign() string {
	return [...]string{"–", "", "!", "×"}[m]
}

// operation is a row of the route: number, name, state in a line, mark. A tap,
// Return or Space opens it.
type operation struct {
	widget.BaseWidget
	number, title string
	state         string
	mark          mark
	open          bool
	hovered       bool
	focused       bool
	tapped        func()
}

var (
	_ fyne.Tappable     = (*operation)(nil)
	_ fyne.Focusable    = (*operation)(nil)
	_ desktop.Hoverable = (*operation)(nil)
)

func newOperation(number, title string, tapped func()) *operation {
	o := &operation{number: number, title: title, tapped: tapped}
	o.ExtendBaseWidget(o)
	return o
}

// set shows a state; unchanged, it costs nothing.
func (o *operation) set(state string, m mark, open bool) {
	if o.state == state && o.mark == m && o.open == open {
		return
	}
	o.state, o.mark, o.open = state, m, open
	o.Refresh()
}

func (o *operation) Tapped(*fyne.PointEvent) { o.tapped() }

func (o *operation) MouseIn(*desktop.MouseEvent)    { o.hovered = true; o.Refresh() }
func (o *operation) MouseMoved(*desktop.MouseEvent) {}
func (o *operation) MouseOut()                      { o.hovered = false; o.Refresh() }
func (o *operation) FocusGained()                   { o.focused = true; o.Refresh(); focus.Reveal(o) }
func (o *operation) FocusLost()                     { o.focused = false; o.Refresh() }
func (o *operation) TypedRune(r rune)               {}
func (o *operation) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter || e.Name == fyne.KeySpace {
		o.tapped()
	}
}

func (o *operation) CreateRenderer() fyne.WidgetRenderer {
	r := &operationRenderer{
		o:      o,
		frame:  canvas.NewRectangle(color.Transparent),
		number: canvas.NewText(o.number, color.Black),
		title:  canvas.NewText(o.title, color.Black),
		mark:   canvas.NewText("", color.Black),
		state:  widget.NewLabel(""),
		tick:   [2]*canvas.Line{canvas.NewLine(color.Black), canvas.NewLine(color.Black)},
	}
	r.frame.StrokeWidth = 1
	r.title.TextStyle.Bold = true
	r.mark.Alignment = fyne.TextAlignCenter
	r.state.Truncation = fyne.TextTruncateEllipsis
	r.state.SizeName = theme.SizeNameCaptionText
	r.state.Importance = widget.LowImportance
	r.Refresh()
	return r
}

type operationRenderer struct {
	o                   *operation
	frame               *canvas.Rectangle
	number, title, mark *canvas.Text
	state               *widget.Label
	tick                [2]*canvas.Line
}

// Places within a row, in the toolkit's units.
const (
	rowNumber = 12
	rowText   = 48
	rowMark   = 30
)

func (r *operationRenderer) Layout(size fyne.Size) {
	r.frame.Resize(size)
	r.number.Move(fyne.NewPos(rowNumber, (size.Height-r.number.MinSize().Height)/2))
	top := r.title.MinSize().Height
	state := r.state.MinSize().Height
	// The label has padding of its own, so the two lines overlap a little.
	pad := theme.InnerPadding()
	y := (size.Height - top - (state - 2*pad) - 2) / 2
	r.title.Move(fyne.NewPos(rowText, y))
	r.state.Move(fyne.NewPos(rowText-pad, y+top+2-pad))
	r.state.Resize(fyne.NewSize(size.Width-rowText-rowMark+2*pad, state))
	r.mark.Move(fyne.NewPos(size.Width-rowMark, (size.Height-r.mark.MinSize().Height)/2))
	r.mark.Resize(fyne.NewSize(rowMark-6, r.mark.MinSize().Height))
	middle := fyne.NewPos(size.Width-rowMark+(rowMark-6)/2, size.Height/2)
	for i, ends := range [2][2]fyne.Position{
		{fyne.NewPos(-5, 0), fyne.NewPos(-1.5, 4)},
		{fyne.NewPos(-1.5, 4), fyne.NewPos(5, -5)},
	} {
		r.tick[i].Position1, r.tick[i].Position2 = middle.Add(ends[0]), middle.Add(ends[1])
	}
}

func (r *operationRenderer) MinSize() fyne.Size {
	text := r.title.MinSize().Height + r.state.MinSize().Height - 2*theme.InnerPadding() + 2
	return fyne.NewSize(rowText+rowMark+80, text+12)
}

func (r *operationRenderer) Refresh() {
	th, v := r.o.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	ink := th.Color(theme.ColorNameForeground, v)
	r.frame.FillColor = color.Transparent
	if r.o.open {
		r.frame.FillColor = th.Color(theme.ColorNameMenuBackground, v)
	} else if r.o.hovered {
		r.frame.FillColor = th.Color(theme.ColorNameHover, v)
	}
	r.frame.StrokeColor = th.Color(theme.ColorNameSeparator, v)
	r.frame.StrokeWidth = 1
	if r.o.open {
		r.frame.StrokeColor = th.Color(theme.ColorNamePlaceHolder, v)
	}
	if r.o.focused {
		r.frame.StrokeColor = th.Color(theme.ColorNamePrimary, v)
		r.frame.StrokeWidth = 2
	}
	r.number.Color, r.title.Color, r.mark.Color = ink, ink, ink
	r.mark.TextStyle.Bold = r.o.mark == markNeeds || r.o.mark == markProblem
	if r.o.mark == markProblem {
		r.mark.Color = th.Color(theme.ColorNameError, v)
	}
	r.number.TextSize = th.Size(theme.SizeNameSubHeadingText)
	r.title.TextSize = th.Size(theme.SizeNameText)
	r.mark.TextSize = th.Size(theme.SizeNameSubHeadingText)
	r.title.Text, r.mark.Text = r.o.title, r.o.mark.sign()
	for _, line := range r.tick {
		line.StrokeColor, line.StrokeWidth = ink, 1.8
		line.Hidden = r.o.mark != markDone
	}
	r.state.SetText(r.o.state)
	r.Layout(r.o.Size())
	canvas.Refresh(r.o)
}

func (r *operationRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.frame, r.number, r.title, r.state, r.mark, r.tick[0], r.tick[1]}
}

func (r *operationRenderer) Destroy() {}

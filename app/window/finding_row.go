package window

import (
	"image/color"

	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// findingRow is a finding in the list of the Check page. Where it has a place,
// a tap, Return or Space turns the sheet to it.
type findingRow struct {
	widget.BaseWidget
	head, text *widget.Label
	chosen     bool
	hovered    bool
	focused    bool
	tapped     func() // nil: it has no place
}

var (
	_ fyne.Tappable      = (*findingRow)(nil)
	_ fyne.Focusable     = (*findingRow)(nil)
	_ desktop.Hoverable  = (*findingRow)(nil)
	_ desktop.Cursorable = (*findingRow)(nil)
)

// zone is named where it isn't "".
func newFindingRow(rank, code, zone, text string, tapped func()) *findingRow {
	head := i18n.T("rank."+rank) + " – " + i18n.T("finding."+code)
	if zone != "" {
		head = i18n.T("check.inzone", "finding", head, "zone", zone)
	}
	r := &findingRow{head: widget.NewLabel(head), text: remark(), tapped: tapped}
	r.head.TextStyle.Bold = true
	r.head.Wrapping = fyne.TextWrapWord
	say(r.text, text)
	r.ExtendBaseWidget(r)
	return r
}

// choose shows whether the sheet is turned to this finding.
func (r *findingRow) choose(on bool) {
	if r.chosen != on {
		r.chosen = on
		r.Refresh()
	}
}

func (r *findingRow) Tapped(*fyne.PointEvent) {
	if r.tapped != nil {
		r.tapped()
	}
}

func (r *findingRow) MouseIn(*desktop.MouseEvent)    { r.hovered = true; r.Refresh() }
func (r *findingRow) MouseMoved(*desktop.MouseEvent) {}
func (r *findingRow) MouseOut()                      { r.hovered = false; r.Refresh() }
func (r *findingRow) FocusGained()                   { r.focused = true; r.Refresh(); focus.Reveal(r) }
func (r *findingRow) FocusLost()                     { r.focused = false; r.Refresh() }
func (r *findingRow) TypedRune(rune)                 {}
func (r *findingRow) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter || e.Name == fyne.KeySpace {
		r.Tapped(nil)
	}
}

// Cursor tells that the row can be clicked.
func (r *findingRow) Cursor() desktop.Cursor {
	if r.tapped == nil {
		return desktop.DefaultCursor
	}
	return desktop.PointerCursor
}

// CreateRenderer is the toolkit's door.
func (r *findingRow) CreateRenderer() fyne.WidgetRenderer {
	frame := canvas.NewRectangle(color.Transparent)
	words := container.New(layout.NewCustomPaddedVBoxLayout(-10), r.head, r.text)
	fr := &findingRenderer{WidgetRenderer: widget.NewSimpleRenderer(container.NewStack(frame, words)), row: r, frame: frame}
	fr.Refresh()
	return fr
}

type findingRenderer struct {
	fyne.WidgetRenderer
	row   *findingRow
	frame *canvas.Rectangle
}

// Refresh shows by the frame what is chosen, so that it doesn't hang on colour.
func (f *findingRenderer) Refresh() {
	th, v := f.row.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	f.frame.FillColor, f.frame.StrokeWidth = color.Transparent, 0
	if f.row.hovered && f.row.tapped != nil {
		f.frame.FillColor = th.Color(theme.ColorNameHover, v)
	}
	if f.row.chosen {
		f.frame.StrokeWidth, f.frame.StrokeColor = 1, th.Color(theme.ColorNamePlaceHolder, v)
	}
	if f.row.focused {
		f.frame.StrokeWidth, f.frame.StrokeColor = 2, th.Color(theme.ColorNamePrimary, v)
	}
	f.frame.Refresh()
}

package window

import (
	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// overlayPane lies over the sheet while something that needs its room is worked on: the
// machine card, the calibration of the head, test pieces, a brought file over its mesh.
type overlayPane struct {
	w      *Window
	papers []*paper
	open   *paper
	view   *fyne.Container
}

// paper is a page of the overlay pane.
type paper struct {
	key   string
	page  string // of the operation that it belongs to; "": to none
	view  fyne.CanvasObject
	show  func()
	left  func() // it is open no longer; nil: nothing is to be done
	alone bool   // it needs no setup
}

func newOverlayPane(w *Window) *overlayPane {
	d := &overlayPane{w: w, view: container.NewStack(newPanel())}
	d.papers = []*paper{newCardEditor(w), newCalibration(w), newTestPieces(w), newFitPaper(w), newBeside(w), newGuide(w)}
	for _, p := range d.papers {
		p.view.Hide()
		d.view.Add(container.New(layout.NewCustomPaddedLayout(10, 10, 14, 14), p.view))
	}
	d.view.Hide()
	return d
}

// lay shows a paper; "" clears the pane, and the sheet shows again. What
// lies there belongs to an operation: another one clears it.
func (d *overlayPane) lay(key string) {
	if d.open != nil && d.open.key != key && d.open.left != nil {
		d.open.left()
	}
	d.open = nil
	for _, p := range d.papers {
		if page := d.w.route.find(p.page); p.key == key && p.page != "" && d.w.route.open != page {
			d.w.route.show(page)
		}
	}
	for _, p := range d.papers {
		visible(p.view, p.key == key)
		if p.key == key {
			d.open = p
		}
	}
	d.refresh()
	d.view.Refresh() // what was hidden isn't laid out yet
}

// leave clears the pane where another operation than its paper's is open.
func (d *overlayPane) leave() {
	if open := d.w.route.open; d.open != nil && d.open.page != "" && open != nil && open.key != d.open.page {
		d.lay("")
	}
}

// refresh draws the open paper.
func (d *overlayPane) refresh() {
	if d.open != nil && d.w.session.Setup() == nil && !d.open.alone {
		d.open = nil
	}
	visible(d.view, d.open != nil)
	visible(d.w.sheet, d.open == nil)
	visible(d.w.welcome, d.open == nil && d.w.session.Setup() == nil)
	if d.open != nil {
		d.open.show()
	}
}

// paperHead is the row over a paper: its title, buttons, and the way back.
func (w *Window) paperHead(title *widget.Label, buttons ...fyne.CanvasObject) fyne.CanvasObject {
	title.TextStyle.Bold = true
	title.Truncation = fyne.TextTruncateEllipsis
	back := focus.NewButton(i18n.T("desk.back"), func() { w.pane.lay("") })
	return container.NewBorder(nil, nil, nil, container.NewHBox(append(buttons, back)...), title)
}

package window

import (
	"fyne.io/fyne/v2"
)

// presenter shows the sheet to a class: full screen, letters and lines as large as
// the sheet has room for, a ring about the pointer, the open lesson's words under
// it. Menu and bottom bar are hidden, and the side panel until it is asked for.
type presenter struct {
	w     *Window
	on    bool
	panel bool // the side panel was asked for
}

// How large things are drawn on a wall. Letters of a fiftieth of the picture's
// height read from the back of a class room (common practice, no source).
const (
	wallSheet   = 4.0 // times the usual: as much as the sheet has room for
	wallLetters = 0.022
	usualText   = 13.0 // of the look, in the toolkit's units
)

// toggle begins to present, or ends it.
func (p *presenter) toggle() {
	p.on = !p.on
	p.panel = false
	w := p.w
	w.win.SetFullScreen(p.on)
	if p.on {
		w.win.SetMainMenu(nil)
		w.win.Canvas().Focus(w.sheet) // what had the focus may be hidden now
	} else {
		w.win.SetMainMenu(w.menu.main)
	}
	w.sheet.Ring(p.on)
	w.ApplyAppearance()
	w.menu.refresh()
}

// togglePanel shows the side panel, or hides it.
func (p *presenter) togglePanel() {
	if p.on {
		p.panel = !p.panel
		p.w.course.lay()
	}
}

// textScale is how much larger than usual texts are on a wall.
func (p *presenter) textScale() float32 {
	return max(largeScale, wallLetters*p.w.win.Canvas().Size().Height/usualText)
}

// lay shows what presenting leaves on the window.
func (p *presenter) lay() {
	w := p.w
	visible(w.course.side, !p.on || p.panel)
	visible(w.course.strip, p.on && w.course.on && !p.panel)
	visible(w.bottom.view, !p.on)
}

// typedKey does what a key does that nothing else has a use for.
func (w *Window) typedKey(e *fyne.KeyEvent) {
	if w.asking {
		return
	}
	switch e.Name {
	case fyne.KeyF11:
		w.present.toggle()
	case fyne.KeyF9:
		w.present.togglePanel()
	case fyne.KeyF8:
		w.toggleBeside()
	case fyne.KeyPageDown:
		if w.course.on {
			w.course.panel.StepOn()
		}
	case fyne.KeyPageUp:
		if w.course.on {
			w.course.panel.StepBack()
		}
	case fyne.KeyEscape:
		if w.present.on {
			w.present.toggle()
		}
	}
}

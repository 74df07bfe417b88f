package window

import (
	"conewright/app/focus"
	"conewright/geom/job"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// page is an operation of the route: a row, and fields that open under it. A
// page writes to the setup through the session and draws from it in show.
type page struct {
	number string
	key    string // of its texts: route.<key>
	body   fyne.CanvasObject
	show   func() (state string, m mark)

	row   *operation
	fault *widget.Label // why a number is refused; its line is kept free
	frame *fyne.Container
}

// route is the list of operations, one of which is open at a time, or none.
type route struct {
	pages    []*page
	open     *page
	box      *fyne.Container
	view     *container.Scroll
	high     float32              // the open page, when it was laid out last
	findings func() []job.Finding // of a run of what is shown
}

func newRoute(pages []*page, title func(*page) string, findings func() []job.Finding) *route {
	r := &route{pages: pages, box: container.NewVBox(), findings: findings}
	for _, p := range pages {
		p.row = newOperation(p.number, title(p), func() { r.toggle(p) })
		p.fault = remark()
		p.fault.Importance = widget.DangerImportance
		p.tell("")
		p.frame = container.NewStack(newPanel(), container.New(layout.NewCustomPaddedLayout(8, 2, 10, 10), container.NewVBox(p.body, p.fault)))
		p.frame.Hide()
		r.box.Add(container.NewVBox(p.row, p.frame))
	}
	r.view = container.NewVScroll(container.New(layout.NewCustomPaddedLayout(10, 10, 10, 12), r.box))
	return r
}

// tell says why a number is refused; "" leaves the line free.
func (p *page) tell(text string) {
	if text == "" {
		text = " "
	}
	p.fault.SetText(text)
}

// toggle opens a page, or closes it where it was the open one.
func (r *route) toggle(p *page) {
	if r.open == p {
		p = nil
	}
	r.show(p)
}

// show opens a page and closes the others; nil closes all.
func (r *route) show(open *page) {
	r.open = open
	for _, p := range r.pages {
		if p == open {
			p.frame.Show()
		} else {
			p.frame.Hide()
		}
	}
	r.refresh()
	r.lay()
	if open != nil {
		focus.Reveal(open.frame)
		focus.Reveal(open.row)
	}
}

// lay lays the pages out anew, after one has become longer or shorter.
func (r *route) lay() {
	if r.open != nil {
		r.high = r.open.frame.MinSize().Height
	}
	r.box.Refresh()
	r.view.Refresh() // it may be scrolled further than there is now
}

// find returns the page of a key.
func (r *route) find(key string) *page {
	for _, p := range r.pages {
		if p.key == key {
			return p
		}
	}
	return nil
}

// refresh draws every row's state, and the open page's fields.
func (r *route) refresh() {
	for _, p := range r.pages {
		state, m := p.show()
		m = markWith(m, p.key, r.findings())
		p.row.set(state, m, p == r.open)
	}
	// What is shown again though its text is as it was doesn't lay out by itself.
	if r.open != nil && r.open.frame.MinSize().Height != r.high {
		r.lay()
	}
}

// fields lays out pairs of a caption and a widget in two columns.
func fields(items ...fyne.CanvasObject) *fyne.Container {
	return container.New(layout.NewFormLayout(), items...)
}

// caption is a field's name.
func caption(text string) *widget.Label { return widget.NewLabel(text) }

// remark is a paragraph of small, faint text.
func remark() *widget.Label {
	l := widget.NewLabel("")
	l.Wrapping = fyne.TextWrapWord
	l.SizeName = "helperText"
	l.Importance = widget.LowImportance
	return l
}

// say sets a paragraph and hides it when empty.
func say(l *widget.Label, text string) {
	if text == "" {
		l.Hide()
		return
	}
	l.SetText(text)
	l.Show()
}

package window

import (
	"time"

	"conewright/app/focus"
	"conewright/app/session"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// bottom is the bar under the sheet: what goes on, how far it is, how the last
// run ended, the count of findings.
type bottom struct {
	w        *Window
	stage    *widget.Label
	progress *bar
	left     *widget.Label
	running  *fyne.Container // hidden while nothing runs
	cancel   *focus.Button
	line     *widget.Label
	findings *focus.Button
	until    timeLeft
	ticks    time.Time     // the run whose time is counted down
	hint     string        // what the field under the pointer or with the focus is; "": nothing to say
	place    *widget.Label // where the pointer is on the sheet
	view     fyne.CanvasObject
}

func newBottom(w *Window) *bottom {
	b := &bottom{
		w:        w,
		stage:    widget.NewLabel(""),
		progress: newBar(),
		left:     widget.NewLabel(""),
		line:     widget.NewLabel(""),
		place:    widget.NewLabel(""),
	}
	b.line.Truncation = fyne.TextTruncateEllipsis
	b.line.Importance = widget.LowImportance
	b.place.Importance = widget.LowImportance
	b.cancel = focus.NewButton(i18n.T("cancel"), w.session.Cancel)
	b.findings = focus.NewButton("", func() { w.route.show(w.route.find("check")) })
	b.findings.Importance = widget.LowImportance
	b.running = container.NewHBox(b.stage, container.NewCenter(b.progress), b.left, b.cancel)
	row := container.NewBorder(nil, nil, b.running, container.NewHBox(b.place, b.findings, w.newWarp()), b.line)
	// The bar is as high as with its button, so that the sheet keeps its size.
	height := container.New(&fixedHeight{b.cancel}, row)
	b.view = container.NewBorder(widget.NewSeparator(), nil, nil, nil,
		container.New(layout.NewCustomPaddedLayout(2, 2, 8, 8), height))
	return b
}

func (b *bottom) refresh() {
	run := b.w.session.Run()
	visible(b.running, run.Active)
	if run.Active {
		b.stage.SetText(stageText(run.Stage))
		b.progress.show(run.Total())
		b.left.SetText(b.until.text(run.Begun, time.Now(), run.Total()))
		b.tick(run)
	}
	b.line.SetText(b.lastLine())
	visible(b.findings, run.Result != nil && !run.Active) // those of a run before say nothing of this one
	if run.Result != nil {
		text, _ := findingsText(run.Result.Log.Findings)
		b.findings.SetText(text)
	}
}

// tick shows the time that is left anew each second while a run lasts.
func (b *bottom) tick(run *session.Run) {
	if b.ticks == run.Begun {
		return // it does already
	}
	b.ticks = run.Begun
	var again func()
	again = func() {
		if now := b.w.session.Run(); now.Active && now.Begun == b.ticks && b.w.bottom == b {
			b.left.SetText(b.until.text(now.Begun, time.Now(), now.Total()))
			time.AfterFunc(time.Second, func() { b.w.post(again) })
		}
	}
	time.AfterFunc(time.Second, func() { b.w.post(again) })
}

func (b *bottom) lastLine() string {
	run := b.w.session.Run()
	s := b.w.session.Setup()
	f := b.w.session.Facts()
	switch {
	case b.hint != "" && !run.Active:
		return b.hint
	case s == nil:
		return i18n.T("bottom.welcome")
	case f != nil && f.Part == nil:
		return errorText(f.Err) // there is nothing to be ready for
	case run.Cancelled():
		return i18n.T("motion.cancelled")
	case run.Active:
		return "" // the stage says it
	case run.Result != nil:
		return i18n.T("motion.files", "folder", run.Out)
	case run.Err != nil:
		return errorText(run.Err)
	case b.w.restored:
		return i18n.T("bottom.restored")
	}
	return i18n.T("bottom.ready")
}

// explain returns what says in the bottom line what a field is, for as long as the
// pointer or the focus is on it.
func (w *Window) explain(key string) func(on bool) {
	text := i18n.T(key)
	return func(on bool) {
		switch {
		case on:
			w.bottom.hint = text
		case w.bottom.hint == text: // else another field says its own already
			w.bottom.hint = ""
		}
		w.bottom.line.SetText(w.bottom.lastLine())
	}
}

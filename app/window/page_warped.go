package window

import (
	"slices"
	"strings"

	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// warpedPage is operation 50: each zone's warped mesh, and what to set for it in
// the user's own slicer.
type warpedPage struct {
	w             *Window
	how, off      *widget.Label
	list          *fyne.Container
	listed        []zoneCard // what the list shows
	write, folder *focus.Button
}

func newWarpedPage(w *Window) *page {
	p := &warpedPage{w: w, how: remark(), off: remark(), list: container.NewVBox()}
	p.write = focus.NewButton(i18n.T("warped.write"), w.own.write)
	p.folder = focus.NewButton(i18n.T("motion.folder"), func() { w.openOutside(w.session.OutDir()) })
	body := container.NewVBox(p.how, p.write, p.folder, p.list, p.off)
	return &page{number: "50", key: "warped", body: body, show: p.show}
}

func (p *warpedPage) show() (string, mark) {
	s := p.w.session.Setup()
	own := p.w.own
	enable(p.write, s != nil && !own.writing && !own.wanted && !p.w.session.Run().Active)
	visible(p.folder, own.current())
	setups := p.w.session.SlicerSetups()
	if s == nil {
		say(p.how, "")
		say(p.off, "")
		p.fill(nil)
		return i18n.T("state.later"), markNone
	}
	say(p.how, i18n.T("warped.how"))
	say(p.off, i18n.T("warped.off")+"\n"+i18n.T("warped.keep"))
	f := p.w.session.Facts()
	if len(setups) > 0 || f == nil || f.Err != nil {
		p.fill(zoneCards(setups))
	} else {
		p.fill(ofBefore(p.listed))
	}
	run := p.w.session.Run()
	switch {
	case own.writing || own.wanted:
		return i18n.T("warped.writing"), markNone
	case run.Current(s):
		n := 0
		for _, z := range run.Result.Log.Zones {
			n += z.WarpedTriangles
		}
		return i18n.N("warped.state", n, "tolerance", i18n.Number(s.Tolerance, 3)), markDone
	case own.current():
		return i18n.T("warped.written"), markDone
	case own.on && own.written != nil:
		return i18n.T("warped.stale"), markNeeds
	}
	return i18n.T("warped.later"), markNone
}

// ofBefore marks the cards of the setup before by an ellipsis: they keep their place
// while those of the present one are worked out.
func ofBefore(cards []zoneCard) []zoneCard {
	marked := slices.Clone(cards)
	for i := range marked {
		marked[i].text = strings.TrimSuffix(marked[i].text, " …") + " …"
	}
	return marked
}

// fill lists the zones' cards, unless they are listed already.
func (p *warpedPage) fill(cards []zoneCard) {
	if slices.Equal(cards, p.listed) {
		return
	}
	p.listed = cards
	p.list.Objects = nil
	for _, c := range cards {
		head := widget.NewLabel(c.file)
		head.TextStyle.Bold = true
		head.Truncation = fyne.TextTruncateEllipsis
		text := remark()
		say(text, c.text)
		p.list.Add(container.New(layout.NewCustomPaddedVBoxLayout(-10), head, text))
	}
	p.list.Refresh()
}

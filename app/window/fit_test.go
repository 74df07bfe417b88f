package window

import (
	"testing"

	"conewright/app/settings"
	"conewright/i18n"

	"fyne.io/fyne/v2"
)

// A screen of 1280x800, less its title bar and the menu.
const screenWidth, screenHeight = 1280, 800 - 24 - 36

// deskWidth and deskHeight are the desk's in a window of 1024x768.
const deskWidth, deskHeight = 1024 - routeWidth - 24, 640

func TestEverythingFitsASmallScreenInAnyLanguageAndTextSize(t *testing.T) {
	b := newBench(t)
	b.goOwnWay()
	b.zones.addCut()
	defer i18n.Use("en")
	for _, size := range textSizes {
		ends := size.name == "" || size.name == "largest" // between them nothing else breaks lines
		if testing.Short() && !ends || raced && size.name == "" {
			continue
		}
		b.changeAppearance(func(w *Window) { w.settings.TextSize = size.name })
		for _, l := range i18n.Languages() {
			if (testing.Short() || !ends) && l.Tag != "de" && l.Tag != "pl" || raced && l.Tag != "de" {
				continue // the longest texts are theirs
			}
			b.setLanguage(l.Tag)
			b.shells.unfold(true)
			b.fitsAll(l.Tag+", "+size.name, size.route)
		}
	}
}

// fitsAll goes through all pages and papers; how says with which texts.
func (b *bench) fitsAll(how string, route float32) {
	b.t.Helper()
	for _, p := range b.route.pages {
		b.route.show(p)
		if w := p.frame.MinSize().Width; w > route-20 {
			b.t.Errorf("%s: %s needs %.0f, there are %.0f", how, p.key, w, route-20)
		}
	}
	for _, r := range b.card.rows { // whose captions have a column of one width
		if w := r.label.MinSize().Width; w > captionWidth() {
			b.t.Errorf("%s: %q needs %.0f, there are %.0f", how, r.text, w, captionWidth())
		}
	}
	for _, paper := range b.pane.papers {
		b.pane.lay(paper.key)
		b.fits(how, paper.key)
		if least := b.pane.view.MinSize(); b.settings.TextSize == "" && (least.Width > deskWidth || least.Height > deskHeight) {
			b.t.Errorf("%s: %s needs %.0f x %.0f of a desk of %d x %d", how, paper.key, least.Width, least.Height, deskWidth, deskHeight)
		}
	}
	b.pane.lay("")
	b.fits(how, "the window")
}

func (b *bench) fits(how, what string) {
	b.t.Helper()
	if least := b.win.Content().MinSize(); least.Width > screenWidth || least.Height > screenHeight {
		b.t.Errorf("%s: %s needs %.0f x %.0f", how, what, least.Width, least.Height)
	}
}

func TestTheLookIsKeptAndShown(t *testing.T) {
	b := newBench(t)
	b.openPart()
	sizes := b.menu.looks.sizes.ChildMenu.Items
	before := b.route.pages[0].row.MinSize().Height
	sizes[len(sizes)-1].Action()
	b.menu.looks.contrast.Action()
	if after := b.route.pages[0].row.MinSize().Height; after <= before*1.2 {
		t.Errorf("a row of %g is as high as one of normal texts, %g", after, before)
	}
	if !sizes[len(sizes)-1].Checked || sizes[1].Checked || !b.menu.looks.contrast.Checked {
		t.Error("the menu doesn't tick what is chosen")
	}
	if s := settings.Load(b.settingsDir); s.TextSize != "largest" || !s.Contrast {
		t.Errorf("kept: %+v", s)
	}
	b.course.begin()
	b.course.panel.Present(true)
	b.course.panel.Leave()
	if scale := b.app.Settings().Theme().Size("text") / 13; scale != textSizes[len(textSizes)-1].scale {
		t.Errorf("after the lessons texts are %g times as large", scale)
	}
	if w := b.course.side.Layout.MinSize([]fyne.CanvasObject{b.route.view}).Width; w != 410 {
		t.Errorf("the route is %g wide", w)
	}
}

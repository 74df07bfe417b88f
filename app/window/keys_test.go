package window

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
)

// tabStops lists what Tab goes through from the beginning, once round.
func (b *bench) tabStops() []fyne.Focusable {
	b.t.Helper()
	c := b.win.Canvas()
	c.Unfocus()
	var stops []fyne.Focusable
	for range 500 {
		c.FocusNext()
		now := c.Focused()
		if len(stops) > 0 && now == stops[0] {
			return stops
		}
		stops = append(stops, now)
	}
	b.t.Fatal("Tab never comes round")
	return nil
}

func TestTabReachesEverythingAndWhatItReachesIsSeen(t *testing.T) {
	b := newBench(t)
	b.win.Resize(fyne.NewSize(1240, 500)) // pages must scroll
	b.openPart()
	b.zones.addCut()
	b.judged()
	want := map[string]int{ // fields and buttons of each page as it stands
		"part": 7, "machine": 3, "zones": 9, "shells": 9, "warped": 1, "motion": 2, "check": 0,
	}
	for _, p := range b.route.pages {
		b.route.show(p)
		stops := b.tabStops()
		at := map[fyne.Focusable]int{}
		for i, stop := range stops {
			at[stop] = i
			b.seen(p.key, stop)
		}
		for _, q := range b.route.pages {
			if _, ok := at[q.row]; !ok {
				t.Errorf("%s open: Tab doesn't reach the row of %s", p.key, q.key)
			}
		}
		fields := at[fyne.Focusable(b.sheet)] - len(b.route.pages)
		if fields < want[p.key] {
			t.Errorf("%s: Tab reaches %d of %d fields and buttons", p.key, fields, want[p.key])
		}
		if at[fyne.Focusable(b.sheet)] <= at[b.route.find("check").row] || at[fyne.Focusable(b.warp)] <= at[fyne.Focusable(b.sheet)] {
			t.Errorf("%s: Tab doesn't go from the route over the sheet to the bottom", p.key)
		}
	}
}

// seen complains where what has the focus, after it was given by Tab, lies
// outside the view.
func (b *bench) seen(page string, stop fyne.Focusable) {
	b.t.Helper()
	o := stop.(fyne.CanvasObject)
	b.win.Canvas().Focus(stop)
	top := fyne.CurrentApp().Driver().AbsolutePositionForObject(o).Y
	if top < 0 || top+o.Size().Height > b.win.Canvas().Size().Height {
		b.t.Errorf("%s open: %s stands from %g to %g", page, fmt.Sprintf("%T", o), top, top+o.Size().Height)
	}
}

func TestTabLeavesAFieldOfSeveralLines(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("card")
	for _, stop := range b.tabStops() {
		if tab, ok := stop.(fyne.Tabbable); ok && tab.AcceptsTab() {
			t.Fatalf("%T keeps Tab to itself", stop)
		}
	}
}

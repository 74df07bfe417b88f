package window

import (
	"testing"

	"fyne.io/fyne/v2"
)

// TestAPageThatGrowsPushesTheRowsDown: what is shown of a run came over the row
// under it.
func TestAPageThatGrowsPushesTheRowsDown(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.win.Resize(fyne.NewSize(firstWidth, firstHeight))
	motion := b.route.find("motion")
	b.route.show(motion)
	for range 2 { // the second time its texts are as they were
		for _, grown := range []bool{true, false} {
			visible(b.motion.folder, grown)
			say(b.motion.result, map[bool]string{true: "one line\nand another\nand a third"}[grown])
			page := motion.show
			motion.show = func() (string, mark) { return "", markNone } // as it stands
			b.route.refresh()
			motion.show = page
			at := func(o fyne.CanvasObject) float32 { return b.app.Driver().AbsolutePositionForObject(o).Y }
			check := b.route.find("check").row
			if end, next := at(motion.frame)+motion.frame.MinSize().Height, at(check); end > next+1 {
				t.Errorf("grown %v: the page ends at %g, the next row begins at %g", grown, end, next)
			}
		}
	}
}

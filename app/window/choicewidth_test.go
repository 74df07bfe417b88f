package window

import (
	"testing"

	"conewright/app/look"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// TestEveryFieldOfTheChoiceIsReadWhole opens an upper zone's fields, which have the
// widest captions, in every language.
func TestEveryFieldOfTheChoiceIsReadWhole(t *testing.T) {
	b := newBench(t)
	b.app.Settings().SetTheme(look.Theme{TextScale: 1})
	b.openPart()
	b.zones.addCut()
	for _, l := range i18n.Languages() {
		b.setLanguage(l.Tag)
		b.route.show(b.route.find("zones"))
		b.zones.chosen = b.session.Setup().Zones.Leaves()[1].Name
		b.refresh()
		size := theme.Size(theme.SizeNameText)
		// The toolkit's own paddings about the text, and its arrow.
		around := 2*theme.Size(theme.SizeNameInnerPadding) + theme.Size(theme.SizeNameInlineIcon)
		for _, words := range b.zones.kind.Options {
			need := fyne.MeasureText(words, size, fyne.TextStyle{}).Width + around
			if have := b.zones.kind.Size().Width; need > have {
				t.Errorf("%s: %q needs %.0f, there are %.0f", l.Tag, words, need, have)
			}
		}
	}
	b.setLanguage("en")
}

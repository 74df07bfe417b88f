package window

import (
	"strings"
	"testing"

	"conewright/app/look"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// TestWhatNeedsALookIsSaidBeforeWhatIsCutOff asks for the first words of rows' states,
// whose ends are cut off where the row is too narrow.
func TestWhatNeedsALookIsSaidBeforeWhatIsCutOff(t *testing.T) {
	for _, l := range i18n.Languages() {
		if err := i18n.Use(l.Tag); err != nil {
			t.Fatal(err)
		}
		for key, text := range map[string]string{
			"zones": i18n.T("zones.state.look", "zones", "@"),
			"reach": i18n.T("part.state.reach", "file", "@"),
			"tiny":  i18n.T("part.state.tiny", "file", "@"),
		} {
			if !strings.HasSuffix(text, "@") {
				t.Errorf("%s, %s: %q ends with what matters more", l.Tag, key, text)
			}
		}
	}
	if err := i18n.Use("en"); err != nil {
		t.Fatal(err)
	}
}

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

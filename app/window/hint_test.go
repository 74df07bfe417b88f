package window

import (
	"strings"
	"testing"

	"conewright/i18n"

	"fyne.io/fyne/v2/driver/desktop"
)

// A field whose word alone doesn't say what it does is explained while the pointer or
// the focus is on it, and no longer.
func TestFieldsAreExplainedWhileTheyAreLookedAt(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("zones"))
	said := func() string { return b.bottom.line.Text }
	before, round := said(), i18n.T("hint.round")
	b.zones.round.MouseIn(&desktop.MouseEvent{})
	if said() != round {
		t.Errorf("under the pointer: %q", said())
	}
	b.zones.round.MouseOut()
	if said() != before {
		t.Errorf("after it: %q", said())
	}
	b.win.Canvas().Focus(b.zones.round)
	b.refresh()
	if said() != round {
		t.Errorf("with the focus: %q", said())
	}
	b.zones.angle.MouseIn(&desktop.MouseEvent{}) // its word says enough
	b.zones.angle.MouseOut()
	if said() != round {
		t.Errorf("the pointer passed over another: %q", said())
	}
	b.win.Canvas().Unfocus()
	if said() != before {
		t.Errorf("without the focus: %q", said())
	}
}

// Every row that has an explanation is on the page, and says something else than its
// own word.
func TestExplanationsBelongToRows(t *testing.T) {
	newBench(t)
	for row, hint := range hints {
		if word, text := i18n.T(row), i18n.T(hint); word == row || text == hint || len(text) < 20 || strings.EqualFold(word, text) {
			t.Errorf("%s is explained as %q", row, text)
		}
	}
}

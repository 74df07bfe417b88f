package help

import (
	"strings"
	"testing"

	"conewright/packaging/licences"
)

func TestLicencesAreListedWhole(t *testing.T) {
	list := Licences(licences.Text)
	if len(list) < 30 {
		t.Fatalf("only %d licences", len(list))
	}
	size := 0
	for _, l := range list {
		if l.Name == "" || l.Text == "" {
			t.Errorf("%q has a text of %d bytes", l.Name, len(l.Text))
		}
		size += len(l.Text)
	}
	if size < len(licences.Text)*9/10 {
		t.Errorf("%d of %d bytes", size, len(licences.Text))
	}
	if !strings.Contains(list[0].Text, "fyne.io/fyne/v2") {
		t.Error("the first isn't the list of what is built in")
	}
}

package message

import (
	"errors"
	"io/fs"
	"os"
	"testing"
)

func TestTextsAreSaidInEnglish(t *testing.T) {
	_, missing := os.Open("no/such/file")
	for _, c := range []struct {
		text Text
		want string
	}{
		{New("100 % full"), "100 % full"},
		{New("%g %% of %s", 2.5, Name("a%d")), "2.5 % of a%d"},
		{Join(": ", Name("job.json"), Text{}, New("missing"), Name("")), "job.json: missing"},
		{Of(missing), "no such file or directory"},
		{Of(Errorf("settings: %w", errors.New("full"))), "settings: full"},
		{Text{}, ""},
	} {
		if got := c.text.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestErrorsWrapTheirArguments(t *testing.T) {
	err := Errorf("zone %s: %s", "cap", Errorf("can't be read: %w", fs.ErrNotExist))
	if !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v doesn't wrap its cause", err)
	}
	if got, want := err.Error(), "zone cap: can't be read: file does not exist"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

package locale

import (
	"os"
	"os/exec"
	"testing"
)

func TestLocalesThatNameALanguage(t *testing.T) {
	for value, want := range map[string]bool{
		"de_DE.UTF-8": true, "en": true, "ast_ES": true, "sr@latin": true, "de:en": true,
		"C": false, "C.UTF-8": false, "POSIX": false, "": false, "_DE": false, "1": false,
	} {
		if namesLanguage(value) != want {
			t.Errorf("%q", value)
		}
	}
}

// The library complains when it is initialised, so it takes a program of its
// own to see whether this package came first: the test of i18n imports both.
func TestNothingIsSaidOfALocaleWithoutALanguage(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a test program")
	}
	cmd := exec.Command("go", "test", "-count=1", "-run", "^$", "conewright/i18n")
	cmd.Env = append(os.Environ(), "LANG=C.UTF-8", "LC_ALL=C.UTF-8", "LANGUAGE=C.UTF-8")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if n := len(out); n > 100 {
		t.Errorf("it says: %s", out)
	}
}

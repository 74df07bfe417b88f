// Package locale quiets a locale that names no language (C.UTF-8, as on bare
// machines): the window's library complains of it on stderr when it is
// initialised, also in runs without a window, whose stderr is part of a
// contract.
//
// It must be initialised before that library. Go initialises packages that are
// ready in the order of their import paths (the language specification,
// "Package initialization", since Go 1.21), and this path comes first; it
// imports nothing that waits for others.
package locale

import (
	"os"
	"strings"
)

func init() {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG", "LANGUAGE"} {
		if value := os.Getenv(name); value != "" && !namesLanguage(value) {
			os.Setenv(name, "C") // which the library knows to mean none
		}
	}
	if os.Getenv("LANGUAGE") == "C" {
		os.Unsetenv("LANGUAGE") // a list of languages, where C isn't known
	}
}

// namesLanguage reports whether a locale begins with a language's code: two or
// three letters, alone or before a sign (ISO 639; "de_DE.UTF-8", "ast").
func namesLanguage(value string) bool {
	end := strings.IndexFunc(value, func(r rune) bool { return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') })
	if end < 0 {
		end = len(value)
	}
	return end == 2 || end == 3
}

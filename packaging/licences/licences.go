// Package licences holds the licences of everything that is built into the
// program: Go's own, and those of all modules that are linked in on Linux,
// Windows or macOS. The text is collected from the module cache; after changing
// go.mod, run
//
//	go generate ./packaging/licences
//
// A test checks that the text is complete and holds nothing else.
package licences

import _ "embed"

//go:generate go test -count=1 -run Collected . -update

// Text is a list of what is built in with its versions, a name a line, and then
// the licences in full, each under its name. Lines end with a line feed; it is
// UTF-8.
//
//go:embed licences.txt
var Text string

// Package machines holds the built-in machine cards.
package machines

import (
	"embed"
	"sort"
	"strings"
)

//go:embed *.json
var cards embed.FS

// Card returns the JSON of the built-in card of that name.
func Card(name string) ([]byte, bool) {
	data, err := cards.ReadFile(name + ".json")
	return data, err == nil
}

// Names lists the built-in cards, sorted.
func Names() []string {
	entries, _ := cards.ReadDir(".") // an embedded folder is always there
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".json"))
	}
	sort.Strings(names)
	return names
}

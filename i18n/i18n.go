// Package i18n holds every text of the window, a catalogue a language, and
// looks them up. Catalogues are JSON files: key to text, or to plural forms.
package i18n

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"slices"
	"strings"

	_ "conewright/i18n/locale" // first: see there

	"fyne.io/fyne/v2/lang"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

//go:embed catalogue/*.json
var catalogues embed.FS

// Language is one that has a catalogue.
type Language struct {
	Tag  string // "en", "de"
	Name string // in the language itself
}

// current is what Use chose; numbers are written by its rules, and plural forms
// chosen by them.
var (
	current    = language.English
	plurals, _ = pluralForms("en") // key to form to text
)

// Languages lists those that have a catalogue, English first.
func Languages() []Language {
	entries, err := fs.ReadDir(catalogues, "catalogue")
	if err != nil {
		return nil // an embedded folder is always there
	}
	list := []Language{{Tag: "en", Name: "English"}}
	for _, e := range entries {
		tag := strings.TrimSuffix(e.Name(), ".json")
		if tag == "en" {
			continue
		}
		texts, err := Texts(tag)
		if name, ok := texts["language"].(string); err == nil && ok {
			list = append(list, Language{Tag: tag, Name: name})
		}
	}
	return list
}

// Texts returns a language's catalogue: strings, or maps of plural forms.
func Texts(tag string) (map[string]any, error) {
	data, err := catalogues.ReadFile("catalogue/" + tag + ".json")
	if err != nil {
		return nil, fmt.Errorf("no catalogue for language %q: %w", tag, err)
	}
	var texts map[string]any
	if err := json.Unmarshal(data, &texts); err != nil {
		return nil, fmt.Errorf("catalogue %s.json: %w", tag, err)
	}
	return texts, nil
}

// Use makes a language the one of the window; "" takes the system's, English
// where that has no catalogue. Texts that are drawn already stay as they are.
func Use(tag string) error {
	if tag == "" {
		tag = closest(lang.SystemLocale().LanguageString())
	}
	data, err := catalogues.ReadFile("catalogue/" + tag + ".json")
	if err != nil {
		return fmt.Errorf("no catalogue for language %q: %w", tag, err)
	}
	if plurals, err = pluralForms(tag); err != nil {
		return err
	}
	current = language.Make(tag)
	said = sentencesOf(tag)
	// The toolkit can't be told a language: the catalogue is filed under the
	// system's own, which is where it looks. English is filed too, so that a
	// locale that nothing matches (C, POSIX) finds its texts there.
	for _, name := range []string{lang.SystemLocale().LanguageString(), "en"} {
		if err := lang.AddTranslations(resource{name + ".json", data}); err != nil {
			return fmt.Errorf("catalogue %s: %w", tag, err)
		}
	}
	return nil
}

func closest(locale string) string {
	base, _ := language.Make(locale).Base()
	if _, err := catalogues.ReadFile("catalogue/" + base.String() + ".json"); err == nil {
		return base.String()
	}
	return "en"
}

// Chosen returns the tag of the language in use.
func Chosen() string { return current.String() }

// resource is a catalogue as the toolkit takes it.
type resource struct {
	name string
	data []byte
}

func (r resource) Name() string    { return r.name }
func (r resource) Content() []byte { return r.data }

// T returns the text of a key. Pairs are names and values for the text's
// {{.name}} places.
func T(key string, pairs ...any) string {
	return lang.X(key, key, values(pairs))
}

func values(pairs []any) map[string]any {
	v := make(map[string]any, len(pairs)/2+1)
	for i := 0; i+1 < len(pairs); i += 2 {
		v[fmt.Sprint(pairs[i])] = pairs[i+1]
	}
	return v
}

// Integer writes n with the language's grouping of digits.
func Integer(n int) string { return message.NewPrinter(current).Sprint(number.Decimal(n)) }

// Number writes v with exactly so many decimals, as the language does, without
// grouping: it may be edited and read again.
func Number(v float64, decimals int) string {
	if math.Abs(v) < 0.5*math.Pow10(-decimals) {
		v = 0 // never "-0.00"
	}
	return message.NewPrinter(current).Sprint(number.Decimal(v, number.Scale(decimals), number.NoSeparator()))
}

// Keys lists the keys of a catalogue, sorted.
func Keys(texts map[string]any) []string { return slices.Sorted(maps.Keys(texts)) }

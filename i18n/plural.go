package i18n

import (
	"fmt"
	"strings"

	"golang.org/x/text/feature/plural"
)

// The toolkit files every catalogue under the system's language (see Use), and
// would choose plural forms by that one's rules: "2 řezů" where the system is
// English. So N chooses by itself.

// forms are the names of plural forms in a catalogue (Unicode CLDR, "Language
// Plural Rules").
var forms = map[plural.Form]string{
	plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: "other",
}

// N returns the text of a key in the plural form for n, which the text may
// show as {{.n}}. A key that isn't there is returned itself.
func N(key string, n int, pairs ...any) string {
	text, ok := plurals[key][form(n)]
	if !ok {
		if text, ok = plurals[key]["other"]; !ok {
			return key
		}
	}
	places := []string{"{{.n}}", Integer(n)}
	for i := 0; i+1 < len(pairs); i += 2 {
		places = append(places, "{{."+fmt.Sprint(pairs[i])+"}}", fmt.Sprint(pairs[i+1]))
	}
	return strings.NewReplacer(places...).Replace(text)
}

// form returns the name of the plural form for a whole number.
func form(n int) string {
	if n < 0 {
		n = -n
	}
	return forms[plural.Cardinal.MatchPlural(current, n, 0, 0, 0, 0)]
}

// pluralForms returns the keys of a catalogue that have plural forms.
func pluralForms(tag string) (map[string]map[string]string, error) {
	texts, err := Texts(tag)
	if err != nil {
		return nil, err
	}
	all := map[string]map[string]string{}
	for key, text := range texts {
		if m, ok := text.(map[string]any); ok {
			all[key] = map[string]string{}
			for name, t := range m {
				all[key][name] = fmt.Sprint(t)
			}
		}
	}
	return all, nil
}

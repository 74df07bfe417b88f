package i18n

import (
	"embed"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"conewright/geom/message"
)

// What geom says, it says in English: findings, and why an input can't be used.
// A run's log keeps that. The window puts it into its own language by the files
// of sentence/, which are keyed by the English text in package fmt's form:
//
//	"%d more collisions": "{1} weitere Kollisionen"
//
// {1} is what the first verb writes. A sentence without a translation stays
// English: better than none.

//go:embed sentence/*.json
var sentenceFiles embed.FS

// said are the sentences of the language in use; nil in English.
var said *sentences

type sentences struct {
	texts map[string]string // English format to text with places {1}, {2} ...
	point string            // the decimal separator
}

// sentencesOf returns a language's sentences, nil where it has none.
func sentencesOf(tag string) *sentences {
	texts, err := Sentences(tag)
	if err != nil {
		return nil
	}
	return &sentences{texts: texts, point: strings.Trim(Number(0.5, 1), "05")}
}

// Sentences returns what a language makes of geom's English sentences, by their
// formats. English has no such file.
func Sentences(tag string) (map[string]string, error) {
	data, err := sentenceFiles.ReadFile("sentence/" + tag + ".json")
	if err != nil {
		return nil, fmt.Errorf("no sentences for language %q: %w", tag, err)
	}
	var texts map[string]string
	if err := json.Unmarshal(data, &texts); err != nil {
		return nil, fmt.Errorf("sentence/%s.json: %w", tag, err)
	}
	return texts, nil
}

// Sentence says a text of geom in the language in use.
func Sentence(t message.Text) string {
	if said == nil {
		return t.String()
	}
	return said.say(t)
}

// Error says an error in the language in use, as far as it is a sentence of the
// program's own. What libraries and the system say stays as it is unless it is
// known word for word.
func Error(err error) string { return Sentence(message.Of(err)) }

// Known reports whether the language in use has a sentence of that format.
func Known(t message.Text) bool {
	return said == nil || said.texts[t.Format] != ""
}

func (s *sentences) say(t message.Text) string {
	text, ok := s.texts[t.Format]
	if !ok {
		text = placed(t.Format, len(t.Args))
	}
	parts := make([]string, 0, len(t.Args))
	for i, v := range verbs(t.Format) {
		if i < len(t.Args) {
			parts = append(parts, s.part(v, t.Args[i]))
		}
	}
	return fill(text, parts)
}

// placed gives an English format places for its verbs.
func placed(format string, args int) string {
	if args == 0 {
		return format
	}
	n := 0
	return verb.ReplaceAllStringFunc(format, func(v string) string {
		if v == "%%" {
			return "%"
		}
		n++
		return "{" + strconv.Itoa(n) + "}"
	})
}

// part says an argument.
func (s *sentences) part(verb string, arg any) string {
	switch arg := arg.(type) {
	case message.Text:
		return s.say(arg)
	case message.Teller:
		return s.say(arg.Message())
	case error:
		return s.say(message.Of(arg))
	}
	text := fmt.Sprintf(verb, arg)
	switch verb[len(verb)-1] {
	case 'd', 'e', 'f', 'g':
		return strings.Replace(text, ".", s.point, 1)
	}
	return text
}

// verb is a verb of package fmt, as far as geom uses them.
var verb = regexp.MustCompile(`%[-+# 0]*\d*(?:\.\d+)?[a-zA-Z%]`)

// verbs lists the verbs of a format, in their order, without %%.
func verbs(format string) []string {
	var list []string
	for _, v := range verb.FindAllString(format, -1) {
		if v != "%%" {
			list = append(list, v)
		}
	}
	return list
}

// fill puts parts into the places {1}, {2} ... of a text.
func fill(text string, parts []string) string {
	places := make([]string, 0, 2*len(parts))
	for i, p := range parts {
		places = append(places, "{"+strconv.Itoa(i+1)+"}", p)
	}
	return strings.NewReplacer(places...).Replace(text)
}

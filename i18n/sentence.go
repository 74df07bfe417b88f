package i18n

import (
	"embed"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"sync"
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
	texts    map[string]string // English format to text with places {1}, {2} ...
	patterns func() []*pattern // see phrase.go; made at the first need, since that takes a while
	point    string            // the decimal separator
}

// sentencesOf returns a language's sentences, nil where it has none.
func sentencesOf(tag string) *sentences {
	texts, err := Sentences(tag)
	if err != nil {
		return nil
	}
	patterns := sync.OnceValue(func() []*pattern { return patternsOf(texts) })
	return &sentences{texts: texts, patterns: patterns, point: strings.Trim(Number(0.5, 1), "05")}
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

// Sentence fills an English format with its arguments, as fmt.Sprintf does, in
// the language in use. Arguments that are sentences themselves follow.
func Sentence(format string, args ...any) string {
	if said == nil {
		return fmt.Sprintf(format, args...)
	}
	text, ok := said.texts[format]
	if !ok {
		return said.phrase(fmt.Sprintf(format, args...), 0)
	}
	var parts []string
	for i, v := range verbs(format) {
		if i < len(args) {
			parts = append(parts, said.part(v, fmt.Sprintf(v, args[i]), 0))
		}
	}
	return fill(text, parts)
}

// part puts what a verb wrote into the language.
func (s *sentences) part(verb, text string, depth int) string {
	switch verb[len(verb)-1] {
	case 's', 'v', 'w':
		return s.phrase(text, depth+1)
	case 'd', 'e', 'f', 'g':
		return strings.Replace(text, ".", s.point, 1)
	}
	return text
}

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

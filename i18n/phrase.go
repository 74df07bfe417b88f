package i18n

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// pattern finds a sentence in text that is written already.
type pattern struct {
	format  string
	text    *regexp.Regexp // a group for each verb
	verbs   []string
	literal int // bytes of it that aren't verbs
}

// verb is a verb of package fmt, as far as geom uses them.
var verb = regexp.MustCompile(`%[-+# 0]*\d*(?:\.\d+)?[a-zA-Z%]`)

// patternsOf returns the patterns of all sentences, those with the most literal
// text first: they say most surely what they match.
func patternsOf(texts map[string]string) []*pattern {
	var list []*pattern
	for format := range texts {
		list = append(list, patternOf(format))
	}
	slices.SortFunc(list, func(a, b *pattern) int {
		return cmp.Or(cmp.Compare(b.literal, a.literal), strings.Compare(a.format, b.format))
	})
	return list
}

func patternOf(format string) *pattern {
	p := &pattern{format: format, verbs: verbs(format)}
	var b strings.Builder
	end := 0
	for _, at := range verb.FindAllStringIndex(format, -1) {
		b.WriteString(regexp.QuoteMeta(format[end:at[0]]))
		p.literal += at[0] - end
		end = at[1]
		switch format[end-1] {
		case '%':
			b.WriteString("%")
		case 'd', 'e', 'f', 'g':
			b.WriteString(`([-+]?(?:\d[-+.\de]*|Inf)|NaN)`)
		case 'q':
			b.WriteString(`("(?:[^"\\]|\\.)*")`)
		case 'c':
			b.WriteString(`(.)`)
		default:
			b.WriteString(`(.+?)`)
		}
	}
	b.WriteString(regexp.QuoteMeta(format[end:]))
	p.literal += len(format) - end
	p.text = regexp.MustCompile(`(?s)^` + b.String() + `$`)
	return p
}

// Phrase puts an English text of geom into the language in use: a sentence, or
// several joined by semicolons, colons or commas. What isn't known stays.
func Phrase(text string) string {
	if said == nil {
		return text
	}
	return said.phrase(text, 0)
}

// mostNested bounds how deep sentences are looked for in sentences.
const mostNested = 12

// mostPhrase bounds the text that is looked through, bytes.
const mostPhrase = 4 << 10

func (s *sentences) phrase(text string, depth int) string {
	if depth > mostNested || len(text) > mostPhrase || text == "" {
		return text
	}
	for _, p := range s.patterns() {
		m := p.text.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		parts := make([]string, len(p.verbs))
		for i, v := range p.verbs {
			parts[i] = s.part(v, m[i+1], depth)
		}
		return fill(s.texts[p.format], parts)
	}
	for _, between := range []string{"; ", ": ", ", "} {
		if first, rest, ok := strings.Cut(text, between); ok {
			return s.phrase(first, depth+1) + between + s.phrase(rest, depth+1)
		}
	}
	return text
}

package i18n

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

func texts(t *testing.T, tag string) map[string]any {
	t.Helper()
	m, err := Texts(tag)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestEveryLanguageHasTheSameKeysAndPlaces(t *testing.T) {
	english := texts(t, "en")
	for _, l := range Languages()[1:] {
		other := texts(t, l.Tag)
		if d := cmp.Diff(Keys(english), Keys(other)); d != "" {
			t.Errorf("%s: %s", l.Tag, d)
		}
		for key, text := range english {
			if d := cmp.Diff(places(text), places(other[key])); d != "" {
				t.Errorf("%s: places of %s: %s", l.Tag, key, d)
			}
		}
	}
}

var place = regexp.MustCompile(`\{\{\.\w+\}\}|%d`)

// places lists what a text fills in, sorted, each once.
func places(text any) []string {
	var found []string
	switch v := text.(type) {
	case string:
		found = place.FindAllString(v, -1)
	case map[string]any:
		for _, form := range v {
			found = append(found, places(form)...)
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// begun reports whether a key begins with one of those that the program asks
// for in two parts, the first of them a literal that ends with a point.
func begun(key string, used map[string]bool) bool {
	for i, c := range key {
		if c == '.' && used[key[:i+1]] {
			return true
		}
	}
	return false
}

// toolkit are keys that the toolkit asks for by itself: with capitals, or of
// its file dialog and calendar.
func toolkit(key string) bool {
	return key[0] >= 'A' && key[0] <= 'Z' || strings.HasPrefix(key, "file.") || strings.Contains(key, "day") && !strings.Contains(key, " ")
}

func TestEveryKeyIsThereAndUsed(t *testing.T) {
	used := usedKeys(t)
	english := texts(t, "en")
	for key := range used {
		first := strings.HasSuffix(key, ".") && slices.ContainsFunc(Keys(english), func(k string) bool { return strings.HasPrefix(k, key) })
		if _, ok := english[key]; !ok && !first {
			t.Errorf("%q is asked for and isn't in the catalogue", key)
		}
	}
	for key := range english {
		if used[key] || toolkit(key) || key == "language" || strings.HasSuffix(key, ".step") {
			continue
		}
		if !begun(key, used) {
			t.Errorf("%q is in the catalogue and nothing asks for it", key)
		}
	}
}

// usedKeys collects what looks like a key among the strings of the window's
// source: the arguments of T and N, and whatever else has a key's form.
func usedKeys(t *testing.T) map[string]bool {
	t.Helper()
	used := map[string]bool{}
	form := regexp.MustCompile(`^((menu|step|motion|stage|error|unsaved|shells|cautions|openpart|hint)\.[a-z.]+|(order|pattern|seam|support)\.)$`)
	err := filepath.WalkDir(filepath.Join("..", "app"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				if f, ok := n.Fun.(*ast.SelectorExpr); ok && (f.Sel.Name == "T" || f.Sel.Name == "N") && len(n.Args) > 0 {
					if text, ok := literal(n.Args[0]); ok {
						used[text] = true
					}
				}
			case *ast.BasicLit:
				if text, ok := literal(n); ok && (form.MatchString(text) || text == "cancel" || text == "save" || text == "close") {
					used[text] = true
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(used) < 50 {
		t.Fatalf("only %d keys found: the search is broken", len(used))
	}
	return used
}

// literal returns a string literal, or the literal at the head of a sum.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		return literal(e.X)
	}
	return "", false
}

// Forms by Unicode CLDR, "Language Plural Rules": Polish counts 22 like 2 and 12
// like 5, Czech all from 5 on alike, French 0 like 1. The system's language,
// whatever it is here, mustn't matter.
func TestPluralFormsFollowTheLanguage(t *testing.T) {
	defer Use("en")
	for tag, want := range map[string]map[int]string{
		"en": {0: "0 cuts", 1: "1 cut", 2: "2 cuts", 21: "21 cuts"},
		"fr": {0: "0 coupe", 1: "1 coupe", 2: "2 coupes"},
		"pl": {0: "0 cięć", 1: "1 cięcie", 2: "2 cięcia", 5: "5 cięć", 12: "12 cięć", 21: "21 cięć", 22: "22 cięcia"},
		"cs": {0: "0 řezů", 1: "1 řez", 2: "2 řezy", 4: "4 řezy", 5: "5 řezů", 22: "22 řezů"},
	} {
		if err := Use(tag); err != nil {
			t.Fatal(err)
		}
		for n, text := range want {
			if got := N("zones.cuts", n); got != text {
				t.Errorf("%s: %q, want %q", tag, got, text)
			}
		}
	}
}

func TestEveryPluralFormIsThere(t *testing.T) {
	defer Use("en")
	for _, l := range Languages() {
		if err := Use(l.Tag); err != nil {
			t.Fatal(err)
		}
		for key, forms := range plurals {
			for n := range 200 {
				if _, ok := forms[form(n)]; !ok && key != "file.name" && key != "file.parent" {
					t.Errorf("%s: %s lacks its form %q", l.Tag, key, form(n))
					break
				}
			}
			if _, ok := forms["other"]; !ok {
				t.Errorf("%s: %s lacks its form \"other\"", l.Tag, key)
			}
		}
	}
}

// Fields are narrow: a short text may be half as long again as the English or
// German one, and a few letters. What really fits, the window's tests see.
func TestNoShortTextIsMuchLonger(t *testing.T) {
	english, german := texts(t, "en"), texts(t, "de")
	for _, l := range Languages()[1:] {
		for key, text := range texts(t, l.Tag) {
			room := max(longest(english[key]), longest(german[key]))
			if n := longest(text); room <= 60 && n > room*3/2+5 {
				t.Errorf("%s: %s is %d letters long, there are %d", l.Tag, key, n, room)
			}
		}
	}
}

// longest returns the letters of a text's longest line.
func longest(text any) int {
	most := 0
	switch v := text.(type) {
	case string:
		for line := range strings.SplitSeq(v, "\n") {
			most = max(most, utf8.RuneCountInString(line))
		}
	case map[string]any:
		for _, form := range v {
			most = max(most, longest(form))
		}
	}
	return most
}

func TestTextsFollowTheLanguage(t *testing.T) {
	defer Use("en")
	for _, c := range []struct{ tag, cuts, number, grouped string }{
		{"en", "2 cuts", "0.25", "12,345"},
		{"de", "2 Schnitte", "0,25", "12.345"},
		{"pl", "2 cięcia", "0,25", "12\u00a0345"},
		{"cs", "2 řezy", "0,25", "12\u00a0345"},
	} {
		if err := Use(c.tag); err != nil {
			t.Fatal(err)
		}
		if got := N("zones.cuts", 2); got != c.cuts {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := Number(0.25, 2); got != c.number {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := Integer(12345); got != c.grouped {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := T("unit.mm"); got != "mm" {
			t.Errorf("%s: %q", c.tag, got)
		}
	}
	if got := Number(-0.004, 2); got != Number(0, 2) {
		t.Errorf("nothing has a sign: %q", got)
	}
	if got := Number(-0.006, 2); got == Number(0.006, 2) {
		t.Errorf("a sign is lost: %q", got)
	}
	if err := Use("xx"); err == nil {
		t.Error("a language without a catalogue was taken")
	}
}

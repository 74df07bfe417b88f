package i18n

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// saidThere are texts that geom says to people, read from its source: each with
// where it stands.
type saidThere map[string]string

// sayings are the formats of findings and of errors, and the findings' codes.
type sayings struct{ findings, errors, codes saidThere }

// arguments tells which arguments of a function of geom are sentences.
var arguments = map[string][]int{
	"find":     {5},
	"findMark": {3},
	"wrong":    {1, 2},
	"Caused":   {1, 2},
	"fault":    {3},
	"problem":  {1},
}

// apps are the packages above geom whose errors the window shows: each must be a
// sentence.
var apps = map[string]bool{"session": true, "settings": true, "lessons": true, "pictures": true}

// codes tells which argument of a function is a finding's code.
var codes = map[string]int{"find": 1, "findMark": 1, "note": 1, "tell": 1, "add": 1, "notice": 1}

// geomSays reads geom's source for sentences.
func geomSays(t *testing.T) sayings {
	t.Helper()
	says := sayings{saidThere{}, saidThere{}, saidThere{}}
	for _, root := range []string{"geom", "app"} {
		err := filepath.WalkDir(filepath.Join("..", root), func(file string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && strings.HasSuffix(file, ".go") && !strings.HasSuffix(file, "_test.go") {
				says.read(t, path.Base(path.Dir(filepath.ToSlash(file))), file)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return says
}

func (s sayings) read(t *testing.T, pkg, path string) {
	t.Helper()
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(file, (&source{t: t, pkg: pkg, files: files, sayings: s}).node)
}

type source struct {
	t     *testing.T
	pkg   string
	files *token.FileSet
	sayings
}

func (s *source) node(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.FuncDecl:
		// They only pass on what others say.
		return n.Name.Name != "find" && n.Name.Name != "findMark" && n.Name.Name != "wrong"
	case *ast.CallExpr:
		s.call(n)
	case *ast.CompositeLit:
		s.composite(n)
	case *ast.ValueSpec:
		for i, name := range n.Names {
			if strings.HasPrefix(name.Name, "Code") && i < len(n.Values) && name.Name != "CodeUnknownWord" {
				if code, ok := formatOf(n.Values[i]); ok {
					s.codes[code] = s.files.Position(n.Pos()).String()
				}
			}
			if (strings.HasPrefix(name.Name, "why") || strings.HasPrefix(name.Name, "mend")) && i < len(n.Values) {
				s.add(s.errors, n.Values[i])
			}
		}
	}
	return true
}

func (s *source) call(n *ast.CallExpr) {
	name, on := "", ""
	switch f := n.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
		if x, ok := f.X.(*ast.Ident); ok {
			on = x.Name
		}
	}
	if i, ok := codes[name]; ok && i < len(n.Args) {
		if code, ok := formatOf(n.Args[i]); ok {
			s.codes[code] = s.files.Position(n.Pos()).String()
		}
	}
	if apps[s.pkg] && (on == "errors" && name == "New" || on == "fmt" && name == "Errorf") {
		s.t.Errorf("%s: the window can't translate this error: use message.Errorf", s.files.Position(n.Pos()))
	}
	places := arguments[name]
	if on == "message" && (name == "New" || name == "Errorf") {
		places = []int{0}
	}
	for _, i := range places {
		if i >= len(n.Args) {
			continue
		}
		if name == "find" || name == "findMark" {
			if _, ok := formatOf(n.Args[i]); !ok {
				s.t.Errorf("%s: a finding's text must be a literal, so that it can be translated", s.files.Position(n.Pos()))
			}
			s.add(s.findings, n.Args[i])
			continue
		}
		s.add(s.errors, n.Args[i])
	}
}

// composite reads counts of a mesh, and the window's words for kinds of faults.
func (s *source) composite(n *ast.CompositeLit) {
	if m, ok := n.Type.(*ast.MapType); ok {
		if of, ok := m.Key.(*ast.SelectorExpr); ok && of.Sel.Name == "Fault" {
			for _, e := range n.Elts {
				s.add(s.errors, e.(*ast.KeyValueExpr).Value)
			}
		}
	}
}

// words are what makes a text a sentence: letters, and more than one place.
var words = regexp.MustCompile(`[a-z]{3}`)

func (s *source) add(to saidThere, e ast.Expr) {
	format, ok := formatOf(e)
	if ok && words.MatchString(verb.ReplaceAllString(format, "")) {
		to[format] = s.files.Position(e.Pos()).String()
	}
}

// formatOf returns the text of a literal or of a sum of literals.
func formatOf(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		left, a := formatOf(e.X)
		right, b := formatOf(e.Y)
		return left + right, a && b
	}
	return "", false
}

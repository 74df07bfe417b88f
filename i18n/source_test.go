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

// arguments tells which arguments of a function are sentences.
var arguments = map[string][]int{
	"job.find":      {5},
	"job.findMark":  {3},
	"job.wrong":     {1, 2},
	"job.note":      {3},
	"job.tell":      {3},
	"job.setZ":      {3},
	"mesh.fault":    {2, 3},
	"machine.fail":  {1, 2},
	"motion.notice": {2},
}

// methods are those of another count of arguments under the same name.
var methods = map[string][]int{"mesh.o.fault": {1}, "motion.r.problem": {1}}

// apps are the packages above geom whose errors the window shows. Those of geom
// that aren't made as the functions above make them are faults of the program.
var apps = map[string]bool{"session": true, "settings": true, "lessons": true, "pictures": true}

// structs tells which fields of a struct are sentences.
var structs = map[string][]string{"InputError": {"What", "Mend"}, "inputerror.Error": {"What", "Mend"}, "ReadError": {"What", "Mend"}, "CardError": {"1", "2"}}

// codes tells which argument of a function is a finding's code.
var codes = map[string]int{"job.find": 1, "job.findMark": 1, "job.note": 1, "job.tell": 1, "job.add": 1, "motion.notice": 1}

// geomSays reads geom's source for sentences.
func geomSays(t *testing.T) sayings {
	t.Helper()
	says := sayings{saidThere{}, saidThere{}, saidThere{}}
	// The window's own sentences about faults of a part file stand with them.
	says.read(t, "window", filepath.Join("..", "app", "window", "said.go"))
	for _, dir := range []string{
		"geom/job", "geom/brought", "geom/mesh", "geom/machine", "geom/motion", "geom/zone",
		"app/session", "app/settings", "app/lessons", "app/pictures",
	} {
		pkg := path.Base(dir)
		if pkg == "brought" {
			pkg = "job" // its functions are named alike
		}
		dir := filepath.Join("..", filepath.FromSlash(dir))
		err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && strings.HasSuffix(file, ".go") && !strings.HasSuffix(file, "_test.go") {
				says.read(t, pkg, file)
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
		return !(s.pkg == "job" && (n.Name.Name == "findMark" || n.Name.Name == "wrong"))
	case *ast.CallExpr:
		s.call(n)
	case *ast.CompositeLit:
		s.composite(n)
	case *ast.AssignStmt:
		for i, to := range n.Lhs {
			if f, ok := to.(*ast.SelectorExpr); ok && (f.Sel.Name == "What" || f.Sel.Name == "Mend") && len(n.Rhs) == len(n.Lhs) {
				s.add(s.errors, n.Rhs[i])
			}
		}
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
	if i, ok := codes[s.pkg+"."+name]; ok && i < len(n.Args) {
		if code, ok := formatOf(n.Args[i]); ok {
			s.codes[code] = s.files.Position(n.Pos()).String()
		}
	}
	if apps[s.pkg] && (on == "errors" && name == "New" || on == "fmt" && name == "Errorf") {
		s.add(s.errors, n.Args[0])
	}
	places := arguments[s.pkg+"."+name]
	if m, ok := methods[s.pkg+"."+on+"."+name]; ok {
		places = m
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

func (s *source) composite(n *ast.CompositeLit) {
	if _, ok := n.Type.(*ast.MapType); ok && s.pkg == "window" {
		for _, e := range n.Elts {
			s.add(s.errors, e.(*ast.KeyValueExpr).Value)
		}
	}
	name := ""
	switch t := n.Type.(type) {
	case *ast.Ident:
		name = t.Name
	case *ast.SelectorExpr: // inputerror.Error
		name = t.X.(*ast.Ident).Name + "." + t.Sel.Name
	}
	for i, e := range n.Elts {
		field, value := strconv.Itoa(i), e
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if k, ok := kv.Key.(*ast.Ident); ok {
				field, value = k.Name, kv.Value
			}
		}
		for _, f := range structs[name] {
			if f == field {
				s.add(s.errors, value)
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

// formatOf returns the format of a literal, of a Sprintf, or of a sum, whose
// other parts become %s.
func formatOf(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		left, a := formatOf(e.X)
		right, b := formatOf(e.Y)
		if !a && !b {
			return "", false
		}
		if !a {
			left = "%s"
		}
		if !b {
			right = "%s"
		}
		return left + right, true
	case *ast.CallExpr:
		if f, ok := e.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "Sprintf" {
			return formatOf(e.Args[0])
		}
	}
	return "", false
}

package job

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayAsk lists where a field's kind may be asked for, and why; paths from the root.
var mayAsk = map[string]string{
	"geom/job/field.go":        "reads, checks, names and writes the job file's fields",
	"geom/job/suggest.go":      "writes suggested fields into the job file's words",
	"app/window/page_zones.go": "names the kinds in their choice, and writes what is chosen",
	"geom/suggest":             "proposes fields kind by kind, for candidates that it made",
	"geom/field":               "where the kinds are",
}

// Outside a few named places nothing asks of what kind a field is: neither by ==, !=
// nor switch, by the constants' names or their words.
func TestNobodyAsksForAFieldsKind(t *testing.T) {
	kinds := map[string]bool{"Level": true, "Cone": true, "Ramp": true, "Ridge": true, "Profile": true}
	isKind := func(e ast.Expr) bool {
		switch e := e.(type) {
		case *ast.Ident:
			return kinds[strings.TrimPrefix(e.Name, "Kind")] && strings.HasPrefix(e.Name, "Kind")
		case *ast.SelectorExpr:
			from, _ := e.X.(*ast.Ident)
			return from != nil && (from.Name == "job" && strings.HasPrefix(e.Sel.Name, "Kind") && kinds[e.Sel.Name[4:]] || from.Name == "suggest" && kinds[e.Sel.Name])
		case *ast.BasicLit:
			word, err := strconv.Unquote(e.Value)
			return err == nil && slices.Contains([]string{KindLevel, KindCone, KindRamp, KindRidge, KindProfile}, word)
		}
		return false
	}
	asked := map[string]bool{}
	root := filepath.Join("..", "..")
	for _, top := range []string{"app", "assets", "geom", "i18n", "render"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			name, _ := filepath.Rel(root, path)
			name = filepath.ToSlash(name)
			ast.Inspect(file, func(n ast.Node) bool {
				var compared []ast.Expr
				switch n := n.(type) {
				case *ast.BinaryExpr:
					if n.Op == token.EQL || n.Op == token.NEQ {
						compared = []ast.Expr{n.X, n.Y}
					}
				case *ast.CaseClause:
					compared = n.List
				}
				if !slices.ContainsFunc(compared, isKind) {
					return true
				}
				asked[name] = true
				if mayAsk[name] == "" && mayAsk[name[:strings.LastIndex(name, "/")]] == "" {
					t.Errorf("%s asks for a field's kind: ask the field for an answer (field.Field, Field.Has)", files.Position(n.Pos()))
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if !asked["geom/job/field.go"] || !asked["geom/job/suggest.go"] || !asked["app/window/page_zones.go"] {
		t.Errorf("kinds are asked for in %v only: does this test still see anything?", asked)
	}
}

// What a kind is said to have is what is written of it.
func TestAKindHasTheEntriesThatAreWritten(t *testing.T) {
	for kind, has := range entries {
		f := &Field{Kind: kind, Grow: GrowOutward, Angle: 30, Axis: &[2]float64{1, 2}, Round: 1, Toward: 5,
			Line: [][2]float64{{0, 0}}, Curve: [][2]float64{{0, 10}}}
		data, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		var written map[string]any
		if err := json.Unmarshal(data, &written); err != nil {
			t.Fatal(err)
		}
		delete(written, "kind")
		for entry := range written {
			if !f.Has(entry) {
				t.Errorf("%s: %s is written, but it is said not to have it", kind, entry)
			}
		}
		if len(written) != len(has) {
			t.Errorf("%s: %v are written, of %v", kind, written, has)
		}
	}
}

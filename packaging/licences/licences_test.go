package licences

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/natefinch/atomic"
)

var update = flag.Bool("update", false, "write licences.txt instead of comparing it")

// platforms are those that packages are made for; they link different modules.
var platforms = []string{"linux", "windows", "darwin"}

// module is one that is linked in.
type module struct{ Path, Version, Dir string }

// licence is a file of a module.
type licence struct{ file, text string }

func TestTextIsCollectedFromLinkedModules(t *testing.T) {
	want := collect(t)
	if *update {
		if err := atomic.WriteFile("licences.txt", strings.NewReader(want)); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want != Text {
		t.Error("licences.txt isn't what the modules hold: run go generate ./packaging/licences")
	}
}

// collect builds the text. A module without a licence fails the test: what may
// not be passed on mustn't be built in.
func collect(t *testing.T) string {
	var list, full strings.Builder
	for _, m := range linked(t) {
		name := m.Path + " " + m.Version
		fmt.Fprintf(&list, "    %s\n", name)
		found := find(t, m.Dir)
		if !slices.ContainsFunc(found, func(l licence) bool { return !strings.Contains(l.file, "/") }) {
			t.Errorf("%s has no licence at its top: may it be passed on?", name)
		}
		for _, l := range found {
			fmt.Fprintf(&full, "\n==== %s: %s\n\n%s\n", name, l.file, l.text)
		}
	}
	goText, err := os.ReadFile("go-licence.txt")
	if err != nil {
		t.Fatal(err)
	}
	return "Conewright is built with Go and these modules. Their licences follow.\n\n" + list.String() +
		"\n==== Go: LICENSE\n\n" + tidy(goText) + "\n" + full.String()
}

// linked lists the modules of all platforms, sorted, each once.
func linked(t *testing.T) []module {
	seen := map[module]bool{}
	for _, system := range platforms {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}", "conewright/app")
		cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64", "CGO_ENABLED=1")
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("go list for %s: %v", system, err)
		}
		for line := range strings.Lines(string(out)) {
			if f := strings.Split(strings.TrimSpace(line), "\t"); len(f) == 3 {
				seen[module{f[0], f[1], f[2]}] = true
			}
		}
	}
	var all []module
	for m := range seen {
		all = append(all, m)
	}
	slices.SortFunc(all, func(a, b module) int { return strings.Compare(a.Path, b.Path) })
	return all
}

var (
	named = regexp.MustCompile(`(?i)^(un)?(licen[cs]e|copying|copyright|notice|patents|ofl)|-licen[cs]e$`)
	// aside are folders whose contents aren't linked in.
	aside = regexp.MustCompile(`^(testdata|cmd|examples?|_.*|\..*)$`)
)

// find returns the licences of a module, also those of code and fonts that it
// took from elsewhere, sorted by path. freetype may be used under either of two
// licences that it keeps in a folder: we take its own.
func find(t *testing.T, dir string) []licence {
	var found []licence
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && path != dir && aside.MatchString(e.Name()):
			return filepath.SkipDir
		case !e.Type().IsRegular() || !named.MatchString(e.Name()) && e.Name() != "ftl.txt":
			return nil
		case strings.HasSuffix(path, ".go"):
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		found = append(found, licence{filepath.ToSlash(rel), tidy(data)})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// tidy makes a text UTF-8 with line feeds and no blank ends.
func tidy(data []byte) string {
	if !utf8.Valid(data) { // Latin-1, in old files
		runes := make([]rune, len(data))
		for i, b := range data {
			runes[i] = rune(b)
		}
		data = []byte(string(runes))
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n", "\f", "").Replace(string(data))
	return strings.Trim(text, "\n")
}

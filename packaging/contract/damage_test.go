package contract

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"conewright/packaging/reading"
)

// change rewrites a file of a folder by its lines.
func change(t *testing.T, dir, name string, by func(lines []string) []string) {
	t.Helper()
	file := filepath.Join(dir, filepath.FromSlash(name))
	all, err := lines(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(strings.Join(by(all), "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

// aBead is the index of a bead's line in the middle of the motion, with all of
// the letters.
func aBead(t *testing.T, all []string, letters string) int {
	t.Helper()
	for i := len(all) / 2; i < len(all); i++ {
		b := reading.ParseBlock(all[i])
		has := true
		for _, l := range []byte(letters + "E") {
			has = has && b.Has[l-'A']
		}
		if has && len(b.M) == 0 {
			return i
		}
	}
	t.Skipf("no bead with %s", letters)
	return 0
}

// inBead changes one word of a bead.
func inBead(t *testing.T, letter byte, by float64) func([]string) []string {
	return func(all []string) []string {
		i := aBead(t, all, string(letter))
		b := reading.ParseBlock(all[i])
		v, _ := b.Word(letter)
		var words []string
		for _, w := range strings.Fields(all[i]) {
			if w[0] == letter {
				w = fmt.Sprintf("%c%.5f", letter, v+by)
			}
			words = append(words, w)
		}
		all[i] = strings.Join(words, " ")
		return all
	}
}

// beforeBead puts a line before a bead.
func beforeBead(t *testing.T, line string) func([]string) []string {
	return func(all []string) []string { return slices.Insert(all, aBead(t, all, "X"), line) }
}

// without leaves lines out.
func without(pattern string) func([]string) []string {
	match := regexp.MustCompile(pattern)
	return func(all []string) []string { return slices.DeleteFunc(all, match.MatchString) }
}

// inLog changes run.json.
func inLog(t *testing.T, dir string, by func(log map[string]any)) {
	t.Helper()
	file := filepath.Join(dir, "run.json")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	log := map[string]any{}
	if err := json.Unmarshal(data, &log); err != nil {
		t.Fatal(err)
	}
	by(log)
	if data, err = json.Marshal(log); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// dropFacet takes the last facet off the first warped mesh, and counts it off.
func dropFacet(t *testing.T, dir string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "warped", "*.stl"))
	if err != nil || len(files) == 0 {
		t.Fatal("no warped mesh", err)
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	data = data[:len(data)-50]
	n := (len(data) - 84) / 50
	for i := range 4 {
		data[80+i] = byte(n >> (8 * i))
	}
	if err := os.WriteFile(files[0], data, 0o644); err != nil {
		t.Fatal(err)
	}
}

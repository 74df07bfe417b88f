package contract

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// shiftOneBead moves one bead in the middle of the file 0.15 mm off its shell,
// and mends the sums in the log, so that only the geometry can tell.
func shiftOneBead(t *testing.T, file string) {
	t.Helper()
	all, err := lines(file)
	if err != nil {
		t.Fatal(err)
	}
	for i := len(all) / 2; i < len(all); i++ {
		w := parse(all[i])
		_, hasX := w['X']
		_, hasE := w['E']
		z, hasZ := w['Z']
		if !hasX || !hasE || !hasZ {
			continue
		}
		var words []string
		for _, word := range strings.Fields(all[i]) {
			if word[0] == 'Z' {
				word = fmt.Sprintf("Z%.3f", z+0.15)
			}
			words = append(words, word)
		}
		all[i] = strings.Join(words, " ")
		if err := os.WriteFile(file, []byte(strings.Join(all, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Fatal("no bead to move")
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

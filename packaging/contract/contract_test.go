package contract

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var dir = flag.String("dir", "", "folder of a finished run; without it a run on the demo job is checked")

func TestARunKeepsTheContract(t *testing.T) {
	if *dir == "" {
		t.Skip("no -dir: packaging/test.sh gives it")
	}
	for _, err := range Check(*dir) {
		t.Error(err)
	}
}

// A check that can't fail is none: a folder with anything missing or changed is
// found out.
func TestADamagedRunIsFoundOut(t *testing.T) {
	if *dir == "" {
		t.Skip("no -dir: packaging/test.sh gives it")
	}
	for _, c := range []struct {
		name   string
		damage func(t *testing.T, dir string)
	}{
		{"a file is missing", func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, "drawing.svg")); err != nil {
				t.Fatal(err)
			}
		}},
		{"a bead lies lower", func(t *testing.T, dir string) { shiftOneBead(t, filepath.Join(dir, "corrected.gcode")) }},
		{"a warped mesh has a hole", func(t *testing.T, dir string) { dropFacet(t, dir) }},
		{"the log lacks its zones", func(t *testing.T, dir string) {
			if err := os.WriteFile(filepath.Join(dir, "run.json"), []byte(`{"conewright_run": 1}`), 0o644); err != nil {
				t.Fatal(err)
			}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			copied := t.TempDir()
			if err := os.CopyFS(copied, os.DirFS(*dir)); err != nil {
				t.Fatal(err)
			}
			c.damage(t, copied)
			if len(Check(copied)) == 0 {
				t.Error("nothing was found wrong")
			}
		})
	}
}

package session

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"conewright/geom/job"
)

func TestAMotionFilesNameTellsItsZone(t *testing.T) {
	for _, c := range []struct {
		file  string
		zones []string
		want  string
	}{
		{"head.gcode", []string{"stem", "head"}, "head"},
		{"HEAD_0.2mm_2h.gcode", []string{"stem", "head"}, "head"},
		{"bollard-stem.nc", []string{"stem", "head"}, "stem"},
		{"header.gcode", []string{"stem", "head"}, ""},
		{"head-2.gcode", []string{"head", "head-2"}, "head-2"},
		{"anything.gcode", []string{"part"}, "part"},
		{"anything.gcode", []string{"stem", "head"}, ""},
		{"stem.gcode", nil, ""},
	} {
		if got := ZoneOf(c.file, c.zones); got != c.want {
			t.Errorf("%s of %v is for %q, not %q", c.file, c.zones, got, c.want)
		}
	}
}

func TestOnlyMotionNewerThanItsMeshIsFound(t *testing.T) {
	out := t.TempDir()
	noon := time.Now().Add(-time.Hour)
	put := func(name string, at time.Time) {
		t.Helper()
		path := filepath.Join(out, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("G1 X1\n"), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	setups := []job.SlicerSetup{{Zone: "stem", File: "warped/stem.stl"}, {Zone: "head", File: "warped/head.stl"}}
	put("motion/stem.gcode", noon)
	if got := FindMotion(out, setups); len(got) != 0 {
		t.Errorf("motion without a mesh: %v", got)
	}
	put("warped/stem.stl", noon)
	put("warped/head.stl", noon)
	put("motion/stem.gcode", noon.Add(-time.Minute))
	put("warped/head.gcode", noon.Add(2*time.Minute))
	put("motion/head.nc", noon.Add(time.Minute))
	put("motion/notes.txt", noon.Add(time.Minute))
	put("corrected.gcode", noon.Add(time.Minute))
	got := FindMotion(out, setups)
	if len(got) != 2 || got[0].Path != filepath.Join(out, "motion", "head.nc") || got[1].Zone != "head" {
		t.Errorf("found %v", got)
	}
}

package window

import (
	"os"
	"path/filepath"
	"testing"
)

func TestACarriedFileHasThePartsPlainName(t *testing.T) {
	for part, want := range map[string]string{
		"/home/x/Lampenfuß 2.stl": "Lampenfu--2.gcode", "cup.3mf": "cup.gcode", "杯.stl": "part.gcode", "a.b.obj": "a-b.gcode",
	} {
		if got := carriedName(part); got != want {
			t.Errorf("%s becomes %s, want %s", part, got, want)
		}
	}
}

func TestACarriedFileIsTheSameBytes(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, motionName), filepath.Join(dir, "cup.gcode")
	if err := os.WriteFile(from, []byte("G1 X1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := carry(from, to); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(to); err != nil || string(got) != "G1 X1\n" {
		t.Errorf("%q (%v)", got, err)
	}
	if err := carry(filepath.Join(dir, "gone"), to); err == nil {
		t.Error("a file that isn't there was carried")
	}
}

package warp

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"conewright/geom/mesh"
)

// A file holds float32 coordinates: rounding must not open what is closed.
func TestTheFileOfAWarpedMeshIsClosed(t *testing.T) {
	for partName, m := range parts() {
		for fieldName, f := range fields() {
			name := partName + ", " + fieldName
			_, warped, _ := warpAll(t, m, &f, 0.1)
			rounded := warped.Rounded()
			balanced(t, name, rounded.Facets)
			if health := rounded.Check(); !health.Sound() {
				t.Errorf("%s: %v", name, health)
			}
			if got, want := volume(rounded), volume(warped); math.Abs(got-want) > 1e-4*want {
				t.Errorf("%s: volume %v after rounding, %v before", name, got, want)
			}
		}
	}
}

// Source: admesh (Debian), a general checker of STL files: no edge is open, no
// facet was changed, and the volume is that of the part, for the warp is a
// shear.
func TestAdmeshFindsNothingOpen(t *testing.T) {
	admesh, err := exec.LookPath("admesh")
	if err != nil {
		t.Skip("admesh isn't installed (packaging/test.sh does it)")
	}
	figures := map[string]*regexp.Regexp{
		"open edges":         regexp.MustCompile(`Facets with 1 disconnected edge *: *(\d+)`),
		"two open edges":     regexp.MustCompile(`Facets with 2 disconnected edges *: *(\d+)`),
		"three open edges":   regexp.MustCompile(`Facets with 3 disconnected edges *: *(\d+)`),
		"facets removed":     regexp.MustCompile(`Facets removed *: *(\d+)`),
		"facets reversed":    regexp.MustCompile(`Facets reversed *: *(\d+)`),
		"degenerate facets":  regexp.MustCompile(`Degenerate facets *: *(\d+)`),
		"backwards edges":    regexp.MustCompile(`Backwards edges *: *(\d+)`),
		"edges fixed":        regexp.MustCompile(`Edges fixed *: *(\d+)`),
		"facets added":       regexp.MustCompile(`Facets added *: *(\d+)`),
		"normals to correct": regexp.MustCompile(`Normals fixed *: *(\d+)`),
	}
	size := regexp.MustCompile(`Volume *: *([\d.]+)`)
	for _, partName := range []string{"box", "tilted box", "bollard"} {
		for _, fieldName := range []string{"outward", "rounded wide", "rounded tight", "off axis"} {
			m, f := parts()[partName], fields()[fieldName]
			_, warped, _ := warpAll(t, m, &f, 0.02)
			var file bytes.Buffer
			if err := mesh.WriteSTL(&file, warped); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), "part.stl")
			if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			said, err := exec.Command(admesh, path).CombinedOutput()
			if err != nil {
				t.Fatal(err)
			}
			for what, pattern := range figures {
				found := pattern.FindSubmatch(said)
				if found == nil {
					t.Fatalf("admesh doesn't say %q:\n%s", what, said)
				}
				if string(found[1]) != "0" {
					t.Errorf("%s, %s: %s %s\n%s", partName, fieldName, found[1], what, said)
				}
			}
			v, _ := strconv.ParseFloat(string(size.FindSubmatch(said)[1]), 64)
			if want := volume(m); math.Abs(v-want) > math.Max(1e-3*want, area(m)*0.02/2) {
				t.Errorf("%s, %s: admesh finds a volume of %v, part %v", partName, fieldName, v, want)
			}
		}
	}
}

package render_test

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime"
	"strconv"
	"testing"

	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/output"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
)

var update = flag.Bool("update", false, "write the golden drawings anew")

// golden returns the drawing of a scene, small.
func golden(in render.Input) *drawing.Drawing {
	in.Options.Size = r2.Vec{X: 210, Y: 148.5}
	in.Options.Coarse = true
	return render.Sheet(in)
}

func written(t *testing.T, d *drawing.Drawing) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := output.SVG(&b, d, output.Options{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestGoldenDrawings compares with drawings that were looked at. A failing one
// is left beside its golden, as *.got.svg.
func TestGoldenDrawings(t *testing.T) {
	for name, in := range scenes() {
		file := filepath.Join("testdata", name+".svg")
		got := written(t, golden(in))
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if why := differ(string(got), string(want)); why != "" {
			beside := filepath.Join("testdata", name+".got.svg")
			_ = os.WriteFile(beside, got, 0o644)
			t.Errorf("%s differs from %s: %s; if it looks right, run with -update", beside, file, why)
		}
	}
}

var numbers = regexp.MustCompile(`-?(\d+\.?\d*|\.\d+)`)

// near is how far coordinates may differ, mm: processors round differently.
const near = 0.03

// differ compares all that isn't a number letter by letter, and numbers
// within near.
func differ(got, want string) string {
	if a, b := numbers.ReplaceAllString(got, "#"), numbers.ReplaceAllString(want, "#"); a != b {
		return "other elements: " + cmp.Diff(len(b), len(a))
	}
	a, b := numbers.FindAllString(got, -1), numbers.FindAllString(want, -1)
	for i := range a {
		x, _ := strconv.ParseFloat(a[i], 64)
		y, _ := strconv.ParseFloat(b[i], 64)
		if math.Abs(x-y) > near {
			return "number " + strconv.Itoa(i) + " is " + a[i] + ", was " + b[i]
		}
	}
	return ""
}

func TestADrafterDrawsWhatSheetDraws(t *testing.T) {
	d := render.NewDrafter()
	all := scenes()
	for _, name := range []string{"bollard", "zones", "bracket", "zones", "level", "level", "ramp", "bollard"} {
		for _, azimuth := range []float64{0, 1} {
			in := all[name]
			in.View = render.View{Azimuth: azimuth, Elevation: 0.3, Set: true}
			in.Options.Coarse = true
			if !reflect.DeepEqual(render.Sheet(in), d.Sheet(in)) {
				t.Fatalf("%s: the drafter kept what had changed", name)
			}
		}
	}
}

func TestTheDrawingDoesNotDependOnProcessors(t *testing.T) {
	in := bracket()
	want := written(t, golden(in))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !bytes.Equal(want, written(t, golden(in))) {
		t.Error("one processor draws other bytes than all")
	}
}

package planner

import (
	"bufio"
	"bytes"
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// words reads one line's numbers; a slow reading of our own words, apart from
// geom/motion.
func words(line string) map[byte]float64 {
	out := map[byte]float64{}
	for _, w := range strings.Fields(line) {
		v, err := strconv.ParseFloat(w[1:], 64)
		if err != nil {
			panic(line)
		}
		out[w[0]] = v
	}
	return out
}

func TestWriteSaysWhatWasPlanned(t *testing.T) {
	o := testOptions()
	m := planPrism(t, Region{box(centre, 20, 20), hole(circle(off(3, 2), 3, 60))}, 12, o)
	var file bytes.Buffer
	if err := m.Write(&file); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(&file)
	for _, want := range []string{"G21", "G90", "M82", "G92 E0"} {
		if lines.Scan(); lines.Text() != want {
			t.Fatalf("header line %q, want %q", lines.Text(), want)
		}
	}
	var x, y, z, e, beads, retracted float64
	for lines.Scan() {
		w := words(lines.Text())
		push, hasE := 0.0, false
		if v, ok := w['E']; ok {
			push, hasE, e = v-e, true, v
		}
		nx, hasX := w['X']
		ny := w['Y']
		switch {
		case hasX && hasE:
			if retracted < -1e-9 {
				t.Fatalf("bead while drawn back: %s", lines.Text())
			}
			if layer := z / o.LayerHeight; math.Abs(layer-math.Round(layer)) > 0.01 {
				t.Fatalf("bead at z %v, no layer's top", z)
			}
			beads += push
		case hasE:
			retracted = math.Round((retracted+push)*1e5) / 1e5
		case hasX:
			if far := math.Hypot(nx-x, ny-y); far > freeTravel && retracted == 0 && x != 0 {
				t.Fatalf("travel of %.2f mm without retraction: %s", far, lines.Text())
			}
		}
		if hasX {
			x, y = nx, ny
		}
		if v, ok := w['Z']; ok {
			z = v
		}
	}
	if retracted != 0 {
		t.Errorf("filament left drawn back by %v", retracted)
	}
	if want := m.Filament(); math.Abs(beads-want) > 2e-5 {
		t.Errorf("file pushes %.5f mm through beads, planned %.5f", beads, want)
	}
}

func TestWipesDrawBackOnTheBead(t *testing.T) {
	o := testOptions()
	o.Wipe = 2
	m := planPrism(t, Region{box(off(-10, 0), 8, 8), circle(off(10, 0), 1, 40)}, 5, o)
	var file bytes.Buffer
	if err := m.Write(&file); err != nil {
		t.Fatal(err)
	}
	var at r2.Vec
	var e, wiped, drawn float64
	wipes := 0
	for line := range strings.Lines(file.String()) {
		w := words(strings.TrimSpace(line))
		x, moves := w['X']
		to := r2.Vec{X: x, Y: w['Y']}
		push := 0.0
		if v, ok := w['E']; ok {
			push, e = v-e, v
		}
		switch {
		case moves && push < 0:
			wiped += r2.Norm(r2.Sub(to, at))
			drawn -= push
		case push < 0:
			drawn -= push
		case push > 0 && drawn > 0:
			if math.Abs(drawn-o.Retract.Length) > 2e-5 || wiped > o.Wipe+0.02 {
				t.Fatalf("drew back %v mm on a wipe of %v mm", drawn, wiped)
			}
			wiped, drawn = 0, 0
			wipes++
		}
		if moves {
			at = to
		}
	}
	if wipes == 0 {
		t.Error("nothing was wiped")
	}
}

type brokenDisk struct{}

func (brokenDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteReportsDiskErrors(t *testing.T) {
	m := planPrism(t, Region{box(centre, 20, 20)}, 12, testOptions())
	if err := m.Write(brokenDisk{}); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("error %v", err)
	}
}

package motion

import (
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestLookShowsLinesAsAControllerCarriesThemOut(t *testing.T) {
	for line, want := range map[string]string{
		"G1 X3 ; go":                "G1 X3",
		"  (first) G1 X3 (then) Y4": "G1 X3  Y4",
		"N10 G28 X0*35":             "G28 X0",
		"n7g1x3*1":                  "g1x3",
		"G28*18":                    "G28",
		"M117 5*3 (left) ; right":   "M117 5*3 (left)",
		"N4 M117 done*22":           "M117 done",
		"; N4 G1":                   "",
		"%":                         "",
		"\tG1 X1\r":                 "G1 X1",
		"START_PRINT A=3*2 ; x":     "START_PRINT A=3*2",
		"NOTE that":                 "NOTE that",
		"M104 S2(x)00":              "M104 S200",
		"":                          "",
	} {
		got := "never shown"
		opt := ReadOptions{Look: func(l *Look) { got = string(l.Words(nil)) }}
		if _, err := Read(context.Background(), strings.NewReader(line+"\n"), opt, func(*Event) error { return nil }); err != nil {
			t.Fatal(err)
		}
		if got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}

func TestLookShowsTheModesBeforeItsLine(t *testing.T) {
	text := "G20 G90\nM82\nG0 X1 Y1 Z1 F100\nG1 X2 E.5 F60\nG92 X0 E1\nG91 G18\nM83\nM200 D1.75\nG93\nG21\n"
	var all []Modes
	opt := ReadOptions{Look: func(l *Look) { all = append(all, l.Modes()) }}
	if _, err := Read(context.Background(), strings.NewReader(text), opt, func(*Event) error { return nil }); err != nil {
		t.Fatal(err)
	}
	check := func(before int, ok bool, what string) {
		t.Helper()
		if !ok {
			t.Errorf("before line %d: %s: %+v", before, what, all[before-1])
		}
	}
	check(1, all[0] == Modes{Unit: 1, Plane: 17}, "not the modes that a file begins with")
	check(2, all[1].Unit == 25.4, "not inches")
	check(4, all[3].Rapid && all[3].Feed == 100, "not a rapid at 100")
	check(5, !all[4].Rapid && all[4].E == 0.5 && all[4].Feed == 60, "E isn't 0.5 at 60")
	check(6, all[5].E == 1 && all[5].Offset == r3.Vec{X: 50.8}, "the frame isn't renamed")
	check(7, all[6].Relative && all[6].Plane == 18, "not relative in XZ")
	check(8, all[7].ERelative && all[7].VolumetricDiameter == 0, "E isn't relative")
	check(9, math.Abs(all[8].VolumetricDiameter-1.75*25.4) < 1e-9, "E isn't a volume")
	check(10, all[9].Inverse && all[9].Feed == 0, "not under inverse time")
}

package brought

import (
	"context"
	"strings"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/runlog"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// endOf reads the end of a file whose last bead of the part is in line after.
func endOf(t *testing.T, text string, after int) *ending {
	t.Helper()
	e := &ending{after: after}
	_, err := motion.Read(context.Background(), strings.NewReader(text), motion.ReadOptions{Look: e.look}, func(ev *motion.Event) error {
		e.event(ev)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func (e *ending) texts() string {
	var s []string
	for _, l := range e.lines {
		s = append(s, l.text)
	}
	return strings.Join(s, "|")
}

const body = "G21\nG90\nM82\nG92 E0\nG0 X10 Y10 Z0.3 F9000\nG1 X60 E5 F1200\n" // the last bead is in line 6

func TestAnEndBeginsAfterTheLastBeadsWipes(t *testing.T) {
	for _, c := range []struct{ tail, want string }{
		{"", ""},
		{"; all done\n", ""},
		{"M104 S0 ; off\nM84\n", "M104 S0|M84"},
		{"G1 X58 E4.8\nG1 X57 E4.7\nG1 E4 F2400\nM84", "G1 E4 F2400|M84"},
		{"G91\nG1 X-3 E-1\nG90\n", "G91|G1 X-3 E-1|G90"}, // modes are the end's own
		{"G1 X0 Y200\nG1 X5 E3\n", "G1 X0 Y200|G1 X5 E3"},
		{"N7 M117 done (really)*3\nM84*1\n", "M117 done (really)|M84*1"},
	} {
		if got := endOf(t, body+c.tail, 6).texts(); got != c.want {
			t.Errorf("after %q: %q, want %q", c.tail, got, c.want)
		}
	}
}

// What the source believed at its end's beginning, in the words of RS-274.
func TestHandsOverWhatTheSourceBelieved(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	at := unwarp.Rest{Known: true, Words: machine.Words{X: 100, Y: 90, Z: 25.4}, Safe: 25.4}
	for _, c := range []struct{ text, want string }{
		{body + "M84", "G21|G90|M82|G92 E5|G1 F1200"},
		{body + "G1 X59 E4\nM84", "G21|G90|M82|G92 E4|G1 F1200"},
		{body + "G0 F600\n", "G21|G90|M82|G92 E5|G1 F1200"},
		{"G20\nG91\nM83\nG0 X1 Y1 Z.1 F90\nG1 X1 E.2 F50\nM84", "G20|G91|M83|G92 E0.2|G1 F50"},
		{"G90\nM83\nG0 X1 Y1 Z1 F900\nG92 X6 Y11\nG1 X10 E2 F50\nG0 F300\nM84", "G21|G90|M83|G92 E2 X105 Y100|G1 F50"},
		{"M200 D1.75\nG0 X1 Y1 Z1\nG1 X10 E2 F50\nM84", "G21|G90|M82|M200 D1.75|G92 E2|G1 F50"},
		{"G93\nG0 X1 Y1 Z1\nG1 X10 E2 F50\nM84", "G21|G90|M82|G92 E2|G93"},
	} {
		after := strings.Count(c.text[:strings.LastIndex(c.text, "G1 X")], "\n")
		if strings.HasPrefix(c.text, body) {
			after = 5
		}
		got := strings.Join(endOf(t, c.text, after+1).handOver(card, at), "|")
		if got != c.want {
			t.Errorf("%q: handed over %q, want %q", c.text, got, c.want)
		}
	}
}

// The machine stands at (100, 90, 40), above a print from 80 to 120; all of its
// travel is 250 x 210 x 200 mm.
func TestEndsAreMadeSafe(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	for _, c := range []struct {
		name, end, want string
		rank            []string
	}{
		{"nothing to do", "M104 S0|G91|G1 Z10 F600|G90|G1 X0 Y200|M84", "", nil},
		{"parking under the top", "G1 X0 Y200 Z20 F600|G1 Z30", "G1 X0 Y200 Z40 F600|G1 Z40", []string{runlog.Note, runlog.Note}},
		{"parking above the top", "G1 Z55|G1 X0 Y200", "", nil},
		{"down by steps", "G91|G1 Z5|G1 Z-15 F300", "G91|G1 Z5|G1 Z-5 F300", []string{runlog.Note}},
		{"in inches", "G20|G1 Z1 X2|G91|G0 Z-.5", "G20|G1 Z1.57481 X2|G91|G0 Z0", []string{runlog.Note, runlog.Note}},
		{"no blanks", "g91g1z-3f600", "g91g1z0f600", []string{runlog.Note}},
		{"renamed", "G92 Z0|G1 Z-1|G1 Z10", "G92 Z0|G1 Z0|G1 Z10", []string{runlog.Note}},
		{"out of the travel by steps", "G91|G1 X200 Y-100|G1 Z180", "G91|G1 X150 Y-90|G1 Z160", []string{runlog.Note, runlog.Note, runlog.Note}},
		{"out of the travel by name", "G1 X0 Y220", "", nil},
		{"homing beside", "G28 X0 Y0|G28 X", "", nil},
		{"homing onto the print", "G28 Z|M84", "|M84", []string{runlog.Warn}},
		{"homing z away from it", "G1 X5 Y5|G28 Z0", "", []string{runlog.Warn}},
		{"homing all", "G28", "", []string{runlog.Warn}},
		{"low after homing", "G28|G1 Z5", "G28|G1 Z40", []string{runlog.Warn, runlog.Note}},
		{"probing", "G29|G30|M84", "||M84", []string{runlog.Warn, runlog.Warn}},
		{"parking by the firmware", "G27 P0", "", nil},
		{"a bead", "G1 X60 E9|G1 E7", "G92 E9|G1 E7", []string{runlog.Note}},
		{"a bead, relative", "M83|G1 X60 E3 Z50|G1 X0", "M83|G92 E3|G1 X0", []string{runlog.Note}},
		{"an unknown word", "G5 X3|M84", "", []string{runlog.Stop}},
		{"a macro", "FINISH_UP|M84", "", []string{runlog.Warn}},
		{"an arc down", "G2 X110 Y90 I5 J0 Z30", "G2 X110 Y90 I5 J0 Z40", []string{runlog.Note}},
	} {
		tm := safeEnd{card: card, at: unwarp.Rest{Known: true, Words: machine.Words{X: 100, Y: 90, Z: 40}, Safe: 40}, over: Box{r2.Vec{X: 50, Y: 60}, r2.Vec{X: 150, Y: 140}}}
		for i, l := range strings.Split(c.end, "|") {
			tm.lines = append(tm.lines, endLine{100 + i, l})
		}
		if err := tm.makeSafe(context.Background()); err != nil {
			t.Fatal(err)
		}
		var got, ranks []string
		for _, l := range tm.lines {
			got = append(got, l.text)
		}
		for _, n := range tm.notes {
			ranks = append(ranks, n.rank)
		}
		want := c.want
		if want == "" {
			want = c.end
		}
		if s := strings.Join(got, "|"); s != want || strings.Join(ranks, " ") != strings.Join(c.rank, " ") {
			t.Errorf("%s: %q, want %q; findings %v, want %v", c.name, s, want, tm.notes, c.rank)
		}
	}
}

func TestCoolingIsLeftOutBetweenZones(t *testing.T) {
	in := []string{"M104 S150", "M140 S60", "M107", "M104 T1 S0", "M109 S210", "M190 R60", "M106 S90", "M117 go", "M104 S0 T1"}
	want := "M140 S60|M107|M109 S210|M190 R60|M106 S90|M117 go"
	if got := strings.Join(withoutCooling(in), "|"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Whatever an end says, once it is made safe no move whose height is known leads
// below the top of the print, and none lays filament.
func FuzzEndsAreSafe(f *testing.F) {
	for _, s := range []string{
		"M104 S0\nG91\nG1 Z10 F600\nG90\nG1 X0 Y200\nM84", "G20\nG1 Z1 X2\nG91\nG0 Z-.5", "g91g1z-3f600", "G92 Z0\nG1 Z-1\nG1 Z10",
		"G91\nG1 X200 Y-100\nG1 Z180", "G28 Z\nG28\nG1 Z5\nX3Z1", "M83\nG1 X60 E3 Z50\nG1 X0", "G2 X110 Y90 I5 J0 Z30", "G18\nG2 X110 Z90 I5 K0",
		"G91 Z-5 G1\nG93\nG1 Z-1 F3", "M200 D1.75\nG1 X4 E3\nG92.1\nG1 Z1", "Z 1 0 . 5\nG1 Z+-3", "(Z3) G1 (Z) Z(Z)3", "( (Z) Z3) G1 (Z) Z(Z)3", "FOO Z3\nT1\nG5 X3",
	} {
		f.Add(s)
	}
	card, _ := machine.Builtin("swivel-45")
	f.Fuzz(func(t *testing.T, end string) {
		if strings.ContainsAny(end, "\r\x00") || len(end) > 400 {
			return
		}
		tm := safeEnd{card: card, at: unwarp.Rest{Known: true, Words: machine.Words{X: 100, Y: 90, Z: 40}, Safe: 40}, over: Box{r2.Vec{X: 50, Y: 60}, r2.Vec{X: 150, Y: 140}}}
		e := endOf(t, end, 0)
		tm.lines = e.lines
		if err := tm.makeSafe(context.Background()); err != nil {
			t.Fatal(err)
		}
		strides, err := tm.follow(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range strides {
			if s.kind == motion.Problem {
				return // a stop
			}
			if s.moves && s.known&motion.AxisZ != 0 && s.to.Z < 40-2*heightSlack || s.extrudes {
				t.Errorf("line %d, %q of %q: to z %g, lays %v", i, tm.lines[i].text, end, s.to.Z, s.extrudes)
			}
		}
	})
}

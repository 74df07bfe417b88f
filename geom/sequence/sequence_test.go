package sequence

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"conewright/geom/machine"
)

func said(list []Remark) string {
	var all []string
	for _, r := range list {
		all = append(all, fmt.Sprintf("%d %s", r.Line, r.What))
	}
	return strings.Join(all, "\n")
}

func TestStartsAreJudged(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	const whole = "G28\nM104 S200\nM109 S200\nG1 Z5 F600"
	for _, c := range []struct{ text, says string }{
		{whole, ""},
		{"; a remark {of no use\nG28 X Y Z\nM109 R200\nG91\nG1 Z2\nG90", ""},
		{"", "0 it homes nothing|0 it doesn't heat|0 it doesn't lift"},
		{"M104 S200\nG1 Z5", "homes nothing"},
		{"G28\nG1 Z5", "doesn't heat the nozzle"},
		{"G28\nM104 S0\nG1 Z5", "doesn't heat the nozzle"},
		{"G28\nM104 S200", "doesn't lift"},
		{"G28\nG1 Z5\nG28 Z\nM104 S200", "doesn't lift"},
		{whole + "\nM104 S{nozle_temp}", "5 {nozle_temp} isn't a name"},
		{whole + "\nhello world M104 S300", "5 it isn't understood"},
		{whole + "\nG1 Z-20", "5 it leads to Z -20.00"},
		{whole + "\nG1 X999", "5 it leads to X 999.00"},
		{whole + "\nM117 a\x01b", "5 it holds a character"},
		{whole + "\nG5 X1", "5 it isn't understood"},
		{whole + "\nM104000 S1", "5 it isn't understood"},
		{"PRINT_START BED=60\n" + whole, "1 what this macro does"},
	} {
		list, err := Start(context.Background(), c.text, card)
		if err != nil {
			t.Fatal(err)
		}
		got := said(list)
		for _, want := range strings.Split(c.says, "|") {
			if c.says == "" && got != "" || !strings.Contains(got, want) {
				t.Errorf("%q: %q, want %q", c.text, got, want)
			}
		}
	}
}

func TestEndsAreJudged(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	for _, c := range []struct{ text, says string }{
		{"M104 S0\nM140 S0\nG91\nG1 Z10\nM84", ""},
		{"m104s0\nm140 s0", ""},
		{"PRINT_END", ""},
		{"", "nozzle's heat off|bed's heat off"},
		{"M104 S0\nM140 S0\nM104 S180", "nozzle's heat off"},
		{"M104 S0\nM140 S0\nG1 Y-40", "3 it leads to Y"},
	} {
		list, err := End(context.Background(), c.text, card)
		if err != nil {
			t.Fatal(err)
		}
		got := said(list)
		for _, want := range strings.Split(c.says, "|") {
			if c.says == "" && got != "" || !strings.Contains(got, want) {
				t.Errorf("%q: %q, want %q", c.text, got, want)
			}
		}
	}
}

func TestBuiltinCardsHaveNothingToSay(t *testing.T) {
	for _, name := range machine.BuiltinNames() {
		card, _ := machine.Builtin(name)
		fill := strings.NewReplacer("{nozzle_temp}", "210", "{bed_temp}", "60")
		start, err := Start(context.Background(), fill.Replace(card.Start), card)
		if err != nil || len(start) > 0 {
			t.Errorf("%s: start: %s %v", name, said(start), err)
		}
		end, err := End(context.Background(), fill.Replace(card.End), card)
		if err != nil || len(end) > 0 {
			t.Errorf("%s: end: %s %v", name, said(end), err)
		}
	}
}

func FuzzSequence(f *testing.F) {
	f.Add("G28\nM104 S200\nG1 Z5 F600")
	f.Add("hello world M104 S300\n{nozle_temp}")
	card, _ := machine.Builtin("swivel-45")
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := Start(context.Background(), text, card); err != nil {
			t.Fatal(err)
		}
		if _, _, err := Settle(context.Background(), text); err != nil {
			t.Fatal(err)
		}
		if _, err := End(context.Background(), text, card); err != nil {
			t.Fatal(err)
		}
	})
}

// After the start words mean bed coordinates, whatever it did to them.
func TestAStartsShiftsAreTakenBack(t *testing.T) {
	const home, at = "G28\nM109 S200\n", "G1 X30 Y20 Z2 F3000\n"
	for _, c := range []struct {
		name, start, want string // what it is then, lines joined by |
		left              int    // lines that are told of
	}{
		{"nothing", home + at, "G28|M109 S200|G1 X30 Y20 Z2 F3000", 0},
		{"a comment stays", "G28 ; home\n; lift\nG1 Z5", "G28 ; home|; lift|G1 Z5", 0},
		{"a place renamed", at + "G92 X5.5 Y-3.25 Z2.5", "G1 X30 Y20 Z2 F3000|G92 X5.5 Y-3.25 Z2.5|G92 X30 Y20 Z2", 0},
		{"and moved on", at + "G92 X5 Y-3\nG1 X15 Y7", "G1 X30 Y20 Z2 F3000|G92 X5 Y-3|G1 X15 Y7|G92 X40 Y30", 0},
		{"twice", at + "G92 X5\nG1 X6\nG92 X0", "G1 X30 Y20 Z2 F3000|G92 X5|G1 X6|G92 X0|G92 X31", 0},
		{"in inches", at + "G20\nG92 X1", "G1 X30 Y20 Z2 F3000|G20|G92 X1|G92 X1.1811", 0},
		{"of an unknown place", home + "G92 Z0.4 ; thick glass\nG1 Z2 F600", "G28|M109 S200|G1 Z2 F600", 1},
		{"all axes, of an unknown place", home + "G92\nG1 Z2 F600", "G28|M109 S200|G92 E0|G1 Z2 F600", 1},
		{"a turning axis", at + "G92 C90 E0", "G1 X30 Y20 Z2 F3000|G92 E0", 1},
		{"a work offset", at + "G55", "G1 X30 Y20 Z2 F3000|G55|G54", 0},
		{"a stored offset", home + "G10 L2 P1 X5\nG10 P0 L20 Z1\n" + at, "G28|M109 S200|G1 X30 Y20 Z2 F3000", 2},
		{"filament drawn back by the machine", at + "G10", "G1 X30 Y20 Z2 F3000|G10", 0},
		{"the homed place, before homing", "M206 X5\n" + home, "M206 X5|G28|M109 S200", 0},
		{"the homed place, after homing", home + "M206 X5\nM428\n" + at, "G28|M109 S200|G1 X30 Y20 Z2 F3000", 2},
		{"a work offset beyond the ninth", at + "G54.1 P2", "G1 X30 Y20 Z2 F3000|G54.1 P2|G54", 0},
		{"diameters, a mirror, a tilted frame, a moving tool tip", at + "G7\nG51.1 X0\nG68.2 X0\nG43.4 H1", "G1 X30 Y20 Z2 F3000|G7|G51.1 X0|G68.2 X0|G43.4 H1|G8|G50.1|G69|G49", 0},
		{"a small step while it runs", home + "M290 Z-1\n" + at, "G28|M109 S200|G1 X30 Y20 Z2 F3000", 1},
		{"what an earlier print left", at + "G92.3", "G1 X30 Y20 Z2 F3000", 1},
		{"put off and on again", at + "G92 X5\nG92.2\nG92.3", "G1 X30 Y20 Z2 F3000|G92 X5|G92.2|G92.3|G92 X30", 0},
		{"a sum", at + "G92 X[2+3]", "G1 X30 Y20 Z2 F3000", 1},
		{"a variable", at + "G92 Z#1", "G1 X30 Y20 Z2 F3000", 1},
		{"taken back by itself", at + "G92 X5\nG92.1", "G1 X30 Y20 Z2 F3000|G92 X5|G92.1", 0},
	} {
		lines, left, err := Settle(context.Background(), c.start)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.TrimRight(strings.Join(lines, "|"), "|"); got != c.want || len(left) != c.left {
			t.Errorf("%s: %q, want %q; told of: %s", c.name, got, c.want, said(left))
		}
	}
}

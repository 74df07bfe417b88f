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
		if _, err := End(context.Background(), text, card); err != nil {
			t.Fatal(err)
		}
	})
}

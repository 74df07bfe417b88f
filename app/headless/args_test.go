package headless

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestArgsAreUnderstood(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want Args
	}{
		{"nothing", nil, Args{}},
		{"a part to open", []string{"a part.stl"}, Args{Files: []string{"a part.stl"}}},
		{"a run", []string{"-job", "j.json", "-out", "d"}, Args{Job: "j.json", Out: "d"}},
		{"two dashes and an equals sign", []string{"--job=j.json", "--out=d", "-accept"}, Args{Job: "j.json", Out: "d", Accept: true}},
		{"motion twice", []string{"-job", "j", "-out", "d", "-motion", "a=x.gcode", "-motion", "b=y=z.gcode"},
			Args{Job: "j", Out: "d", Motion: map[string]string{"a": "x.gcode", "b": "y=z.gcode"}}},
		{"a file that looks like a flag", []string{"--", "-job"}, Args{Files: []string{"-job"}}},
		{"draw", []string{"-job", "j", "-out", "d", "-draw", "motion"}, Args{Job: "j", Out: "d", Draw: "motion"}},
		{"a folder of jobs", []string{"-jobs", "n", "-out", "d", "-accept"}, Args{Jobs: "n", Out: "d", Accept: true}},
		{"trace", []string{"-trace", "t", "p.stl"}, Args{Trace: "t", Files: []string{"p.stl"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ParseArgs(c.args)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestArgsThatCantBeUsedAreRefused(t *testing.T) {
	for _, args := range [][]string{
		{"-job"}, {"-job", ""}, {"-job", "j"}, {"-out", "d"}, {"-accept"}, {"-speed", "3"},
		{"-job", "j", "-out", "d", "-motion", "x.gcode"}, {"-job", "j", "-out", "d", "-motion", "=x"},
		{"-job", "j", "-out", "d", "-motion", "a=x", "-motion", "a=y"},
		{"-job", "j", "-out", "d", "-draw", "cube"}, {"-job", "j", "-out", "d", "p.stl"},
		{"-job", "j", "-job", "k", "-out", "d"}, {"-job", "j", "-out", "d", "-trace", "t"},
		{"-job", "j", "-out", "d", "-accept=no"}, {"-jobs", "n"}, {"-jobs", "n", "-job", "j", "-out", "d"}, {"-jobs", "n", "-out", "d", "-suggest"},
		{"-job", "j", "-out", "d", "-suggest", "-draw", "sheet"},
	} {
		if got, err := ParseArgs(args); err == nil {
			t.Errorf("%q gave %+v and no error", args, got)
		}
	}
}

package job

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// jobWith returns a job file with one entry replaced.
func jobWith(old, new string) string {
	const plain = `{"conewright":1,"part":{"file":"p.stl","unit":"mm"},"machine":"swivel-45","shell":0.2,"bead":0.45,
"zones":{"cut":{"point":[125,105,10],"normal":[0,0,1]},
 "under":{"name":"stem","field":{"kind":"level"}},
 "over":{"name":"head","field":{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}}}}`
	if old != "" && !strings.Contains(plain, old) {
		panic("no " + old)
	}
	return strings.Replace(plain, old, new, 1)
}

// What a job file may say wrong, and what the one line must name.
var badJobs = []struct{ name, text, want string }{
	{"empty", "", "empty"},
	{"not JSON", "{", "byte"},
	{"no version", jobWith(`"conewright":1,`, ``), "conewright"},
	{"newer version", jobWith(`"conewright":1`, `"conewright":2`), "version 2"},
	{"version 0", jobWith(`"conewright":1`, `"conewright":0`), "version 0"},
	{"unknown key", jobWith(`"shell":0.2`, `"shel":0.2`), "shel"},
	{"half a seat", jobWith(`"unit":"mm"`, `"seat":[1]`), "part.seat: holds 1 values: give it 2 values"},
	{"a fourth turn", jobWith(`"unit":"mm"`, `"turn":[1,2,3,4]`), "part.turn: holds 4 values"},
	{"null in a seat", jobWith(`"unit":"mm"`, `"seat":[1,null]`), "part.seat[1]: null"},
	{"a key twice", jobWith(`"shell":0.2`, `"shell":0.2,"shell":0.3`), "shell: the key \"shell\" stands twice"},
	{"text after the end", jobWith("", "") + "{}", "byte"},
	{"a device's name", jobWith(`"stem"`, `"Aux"`), "names a device"},
	{"short profile", jobWith(`"swivel-45"`, `{"conewright_machine":1,"head":{"profile":[[0,0.3],[6]]}}`), "head.profile[1]: holds 1 values"},
	{"group for a number", jobWith(`"shell":0.2`, `"shell":{}`), "is a group: give it a number"},
	{"a level turning axis", jobWith(`"swivel-45"`, `{"conewright_machine":1,"rotary":[{"letter":"A","on":"bed","about":[1,0,0]}]}`), "these turning axes"},
	{"a bed that turns and carries one that tilts", jobWith(`"swivel-45"`, `{"conewright_machine":1,"rotary":[{"letter":"C","on":"bed"},{"letter":"A","on":"bed","about":[1,0,0]}]}`), "these turning axes"},
	{"slanting axes over a tilting bed", jobWith(`"swivel-45"`, `{"conewright_machine":1,"linear":{"z":[0,-0.6,0.8]},"rotary":[{"letter":"A","on":"bed","about":[0,1,0],"range":[-90,90]},{"on":"bed"}]}`), "slant"},
	{"an endless axis over a turning bed", jobWith(`"swivel-45"`, `{"conewright_machine":1,"travel":{"x":null,"y":[0,100],"z":[0,100]},"rotary":[{"on":"bed"}]}`), "no end"},
	{"a gantry without end", jobWith(`"swivel-45"`, `{"conewright_machine":1,"travel":{"x":[0,100],"y":[0,100],"z":null}}`), "travel.z"},
	{"a file's start on slanting axes", jobWith(`"swivel-45"`, `{"conewright_machine":1,"linear":{"z":[0,-0.6,0.8]}}, "start_from":"file"`), "start_from"},
	{"an obstacle on something else", jobWith(`"swivel-45"`, `{"conewright_machine":1,"obstacles":[{"min":[0,0,0],"max":[1,1,1],"on":"head"}]}`), "obstacles[0].on"},
	{"a box of the head on the bed", jobWith(`"swivel-45"`, `{"conewright_machine":1,"head":{"boxes":[{"min":[0,0,0],"max":[1,1,1],"on":"bed"}]}}`), "head.boxes[0].on"},
	{"no part", jobWith(`"file":"p.stl"`, `"file":""`), "part.file"},
	{"unit", jobWith(`"unit":"mm"`, `"unit":"furlong"`), "furlong"},
	{"kind", jobWith(`"kind":"level"`, `"kind":"spiral"`), "spiral"},
	{"grow", jobWith(`"outward"`, `"up"`), `"up"`},
	{"angle 0", jobWith(`"angle":45`, `"angle":0`), "angle"},
	{"angle 90", jobWith(`"angle":45`, `"angle":90`), "angle"},
	{"angle -5", jobWith(`"angle":45`, `"angle":-5`), "-5"},
	{"line under layer", jobWith(`"angle":45`, `"angle":60`), "0.289 mm wide and 0.400 mm high"},
	{"two of a name", jobWith(`"stem"`, `"head"`), "two zones"},
	{"same but for capitals", jobWith(`"stem"`, `"HEAD"`), "two zones"},
	{"name leaves the folder", jobWith(`"stem"`, `"../x"`), "../x"},
	{"no name", jobWith(`"name":"stem",`, ``), "name"},
	{"downward normal", jobWith(`[0,0,1]`, `[0,0,-1]`), "points down"},
	{"half a point of a limited cut", jobWith(`[0,0,1]`, `[0,0,1],"only":[1,2]`), "zones.cut.only: holds 2 values"},
	{"limited cut far off", jobWith(`[0,0,1]`, `[0,0,1],"only":[1,2,1e6]`), "zones.cut.only"},
	{"only at a leaf", jobWith(`"name":"stem",`, `"name":"stem","only":[1,2,3],`), "only"},
	{"normal without length", jobWith(`[0,0,1]`, `[0,0,0]`), "no length"},
	{"cut without over", jobWith(`,
 "over":{"name":"head","field":{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}}`, ``), "zones.over"},
	{"shell", jobWith(`"shell":0.2`, `"shell":-1`), "shell"},
	{"shell as text", jobWith(`"shell":0.2`, `"shell":"thin"`), "shell"},
	{"huge number", jobWith(`"shell":0.2`, `"shell":1e999`), "shell"},
	{"bead under shell", jobWith(`"bead":0.45`, `"bead":0.1`), "bead"},
	{"planner's unknown key", jobWith(`"shell":0.2`, `"planner":{"brim":1}`), "brim"},
	{"wall order", jobWith(`"shell":0.2`, `"planner":{"wall_order":"up"}`), "inside-out or outside-in"},
	{"seam", jobWith(`"shell":0.2`, `"planner":{"seam":"zigzag"}`), "line, spread or nearest"},
	{"pattern", jobWith(`"shell":0.2`, `"planner":{"fill_pattern":"hexagons"}`), "rings, spokes, lines or grid"},
	{"slow factor", jobWith(`"shell":0.2`, `"planner":{"slow_factor":0}`), "planner.slow_factor"},
	{"skirt", jobWith(`"shell":0.2`, `"planner":{"skirt":-1}`), "planner.skirt"},
	{"half a ring", jobWith(`"shell":0.2`, `"planner":{"skirt":1.5}`), "planner.skirt"},
	{"foot", jobWith(`"shell":0.2`, `"planner":{"foot":1000}`), "planner.foot"},
	{"no such card", jobWith(`"swivel-45"`, `"nowhere.json"`), "nowhere.json"},
	{"card with nonsense", jobWith(`"swivel-45"`, `{"conewright_machine":1,"name":"m","travel":{"x":[5,5],"y":[0,1],"z":[0,1]}}`), "travel.x"},
	{"card's newer version", jobWith(`"swivel-45"`, `{"conewright_machine":9}`), "version 9"},
	{"deep", `{"conewright":1,"part":{"file":"p"},"zones":` + strings.Repeat(`{"cut":{"point":[0,0,1],"normal":[0,0,1]},"under":`, 100) + `{}` + strings.Repeat(`}`, 101), "cuts deep"},
}

func TestBadJobsAreRefusedInOneLine(t *testing.T) {
	for _, c := range badJobs {
		_, err := Parse([]byte(c.text), ".")
		var in *InputError
		if !errors.As(err, &in) {
			t.Errorf("%s: error %v, want an input error", c.name, err)
			continue
		}
		if msg := err.Error(); !strings.Contains(msg, c.want) || strings.Contains(msg, "\n") || in.Mend.Format == "" {
			t.Errorf("%s: %q should name %q, in one line, and say how to mend it", c.name, msg, c.want)
		}
	}
}

func TestSetupSurvivesWritingAndReading(t *testing.T) {
	s, err := Parse([]byte(jobWith("", "")), "there")
	if err != nil {
		t.Fatal(err)
	}
	data, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	again, err := Parse(data, "there")
	if err != nil {
		t.Fatalf("%v in\n%s", err, data)
	}
	data2, _ := again.JSON()
	if string(data) != string(data2) {
		t.Errorf("written\n%s\nthen\n%s", data, data2)
	}
	for _, want := range []string{`"seat": [`, `"round": 0`, `"tolerance": 0.02`, `"start_from": "card"`, `"fill_pattern": "rings"`, `"density": 1.24`} {
		if !strings.Contains(string(data), want) {
			t.Errorf("defaults aren't filled in: no %s in\n%s", want, data)
		}
	}
}

// The contract's default of support is none, and whoever reads the run log finds it
// there. A saved job leaves it out, so that an older program can open the job.
func TestSupportIsNoneUnlessAskedFor(t *testing.T) {
	for _, key := range []string{"", `"support": "none",`} {
		text := strings.Replace(jobWith("", ""), "{", "{"+key, 1)
		s, err := Parse([]byte(text), ".")
		if err != nil {
			t.Fatalf("%s: %v", key, err)
		}
		if saved, _ := s.JSON(); s.Support != SupportNone || strings.Contains(string(saved), "support") {
			t.Errorf("%s: support %q, saved as\n%s", key, s.Support, saved)
		}
		logged, err := (&Log{Job: s}).JSON()
		if err != nil || !strings.Contains(string(logged), `"support": "none"`) {
			t.Errorf("%s: %v; the run log doesn't tell the default:\n%s", key, err, logged)
		}
	}
	if _, err := Parse([]byte(strings.Replace(jobWith("", ""), "{", `{"support": "everywhere",`, 1)), "."); err == nil {
		t.Error("support everywhere is accepted")
	}
}

func TestCloneSharesNothing(t *testing.T) {
	s, _ := Parse([]byte(jobWith("", "")), ".")
	c := s.Clone()
	c.Zones.Over.Field.Axis[0] = 1
	c.Part.Seat[0] = 1
	c.Zones.Cut.Point[2] = 1
	c.Machine.Card.Head.Profile[0][1] = 77
	c.Machine.Card.Swivel.MaxSpeed = 77
	if s.Zones.Over.Field.Axis[0] == 1 || s.Part.Seat[0] == 1 || s.Zones.Cut.Point[2] == 1 ||
		s.Machine.Card.Head.Profile[0][1] == 77 || s.Machine.Card.Swivel.MaxSpeed == 77 {
		t.Error("a change of the clone shows in the setup")
	}
}

// The numbers of DESIGN 3 for a 0.45 mm bead, 0.2 mm shells, 45 degrees, worked
// by hand.
func TestNumbersOfAZone(t *testing.T) {
	s := Defaults()
	n := s.Numbers(&Field{Kind: KindCone, Angle: 45})
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"layer height", n.LayerHeight, 0.2828427},
		{"bead area", n.BeadArea, 0.0814159},
		{"pitch", n.Pitch, 0.2878487},
		{"line width", n.LineWidth, 0.3485480},
		{"volume of a pitch", n.Pitch * n.LayerHeight, n.BeadArea},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s %.7f, want %.7f", c.name, c.got, c.want)
		}
	}
	if level := s.Numbers(&Field{Kind: KindLevel}); math.Abs(level.LineWidth-0.45) > 1e-12 {
		t.Errorf("a level zone's lines are %g wide, want the bead's 0.45", level.LineWidth)
	}
}

func FuzzParse(f *testing.F) {
	for _, c := range badJobs {
		f.Add([]byte(c.text))
	}
	f.Add([]byte(jobWith("", "")))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse(data, t.TempDir())
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("error of several lines: %q", err)
			}
			return
		}
		again, err := s.JSON()
		if err != nil {
			t.Fatalf("a setup that was read can't be written: %v", err)
		}
		if _, err := Parse(again, t.TempDir()); err != nil {
			t.Fatalf("what was written isn't read: %v\n%s", err, again)
		}
	})
}

func Example() {
	s, err := Parse([]byte(`{"conewright":1,"part":{"file":"bollard.stl"},"machine":"straight",
		"zones":{"name":"all","field":{"kind":"cone","angle":15}}}`), ".")
	if err != nil {
		fmt.Println(err)
		return
	}
	n := s.Numbers(s.Zones.Field)
	fmt.Printf("%s: %.3f mm layers, %.3f mm lines\n", s.Zones.Name, n.LayerHeight, n.LineWidth)
	// Output: all: 0.207 mm layers, 0.438 mm lines
}

// Cards that were refused until their machines got motion are taken.
func TestCardsOfServedMachinesAreTaken(t *testing.T) {
	for _, card := range []string{
		`{"conewright_machine":1,"rotary":[{"letter":"C"},{"letter":"B","about":[0,1,0]}]}`,
		`{"conewright_machine":1,"head":{"tip":[0,0,-60],"profile":[[0,0.3],[6,5]]}}`,
	} {
		if _, err := Parse([]byte(jobWith(`"swivel-45"`, card)), "."); err != nil {
			t.Errorf("%s: %v", card, err)
		}
	}
}

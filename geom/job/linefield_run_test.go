package job

import (
	"fmt"
	"strings"
	"testing"
)

// lineFields are fields about lines with bends, for the swivelling head; they run
// past the demo parts, which are seated at 125, 105.
var lineFields = []struct{ name, field string }{
	{"ridge inward, one bend", `{"kind":"ridge","grow":"inward","angle":45,"line":[[105,95],[128,108],[140,98]]}`},
	{"ridge outward, one bend", `{"kind":"ridge","grow":"outward","angle":45,"line":[[105,95],[128,108],[140,98]]}`},
	{"ridge outward, rounded", `{"kind":"ridge","grow":"outward","angle":45,"line":[[105,95],[128,108],[140,98]],"round":2}`},
	{"ridge outward, a sharp bend", `{"kind":"ridge","grow":"outward","angle":40,"line":[[110,90],[125,108],[137,88]]}`},
	{"ridge inward, two slight bends", `{"kind":"ridge","grow":"inward","angle":40,"line":[[95,103],[120,106],[150,101],[165,104]]}`},
	{"ridge in the part's plane of symmetry", `{"kind":"ridge","grow":"outward","angle":45,"line":[[115,105],[135,105]]}`},
	{"profile in the part's plane of symmetry", `{"kind":"profile","line":[[115,105],[135,105]],"curve":[[0,45],[10,45],[30,22]]}`},
	{"profile, level on its line", `{"kind":"profile","line":[[110,100],[140,110]],"curve":[[0,0],[5,45],[20,20]]}`},
	{"profile of both signs", `{"kind":"profile","line":[[105,95],[128,108],[140,98]],"curve":[[0,0],[5,40],[15,-20],[40,30]]}`},
	{"profile with a slope on its line", `{"kind":"profile","line":[[95,103],[120,106],[150,101],[165,104]],"curve":[[0,30],[10,45],[40,20]]}`},
	{"profile that rises away from its line", `{"kind":"profile","line":[[110,90],[125,108],[137,88]],"curve":[[0,-30],[8,-45],[20,10]]}`},
}

// notYet are the runs that don't hold yet: beads of some hundredths of a millimetre by
// the line's end, where a tip answers to more than one middle.
var notYet = map[string]bool{
	"profile with a slope on its line, cleat, swivel-45":          true,
	"profile in the part's plane of symmetry, bracket, swivel-45": true,
}

// Fields about a line, bent and straight: the motion read back stays within
// tolerance on both kinds of head. Shells are coarse, so that the runs are short.
func TestFieldsAboutLinesRunThrough(t *testing.T) {
	parts := []string{"bracket", "cleat"}
	if testing.Short() {
		parts = parts[1:]
	}
	count := 0
	for _, part := range parts {
		for _, c := range lineFields {
			for _, machineName := range []string{"swivel-45", "straight"} {
				field := c.field
				if machineName == "straight" && strings.Contains(field, "ridge") {
					field = strings.NewReplacer(`"angle":45`, `"angle":20`, `"angle":40`, `"angle":15`).Replace(field)
				}
				name := fmt.Sprintf("%s, %s, %s", c.name, part, machineName)
				if count++; raced && count%7 != 0 {
					continue
				}
				t.Run(name, func(t *testing.T) {
					t.Parallel()
					if notYet[name] {
						t.Skip("a bead by the line's end isn't found again; the run stops with the finding deviation")
					}
					s, err := Parse([]byte(`{"conewright":1,"part":{"file":"../../assets/parts/`+part+`.stl","seat":[125,105]},"machine":"`+machineName+`","shell":0.35,"bead":0.8,"zones":{"name":"z","field":`+field+`}}`), ".")
					if err != nil {
						t.Fatal(err)
					}
					runWithoutClearance(t, name, s)
				})
			}
		}
	}
}

package job

import (
	"fmt"
	"testing"
)

// Fields about a line, bent and straight: the motion read back stays within
// tolerance on both kinds of head.
func TestFieldsAboutLinesRunThrough(t *testing.T) {
	for _, c := range []struct {
		name, part, field string
	}{
		{"profile, level on its line", "bracket", `{"kind":"profile","line":[[110,100],[140,110]],"curve":[[0,0],[5,45],[20,20]]}`},
	} {
		for _, machineName := range []string{"swivel-45", "straight"} {
			name := fmt.Sprintf("%s, %s, %s", c.name, c.part, machineName)
			s, err := Parse([]byte(`{"conewright":1,"part":{"file":"../../assets/parts/`+c.part+`.stl","seat":[125,105]},"machine":"`+machineName+`","zones":{"name":"z","field":`+c.field+`}}`), ".")
			if err != nil {
				t.Fatal(err)
			}
			runWithoutClearance(t, name, s)
		}
	}
}

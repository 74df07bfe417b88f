package job

import "testing"

// Cones with a rounded tip, and a profile that begins level, are level at their
// axis and grow steep beside it: beads that run through the axis, or begin and end
// near it, still lie on their shells.
func TestBeadsThroughALevelAxisLieOnTheirShells(t *testing.T) {
	for name, field := range map[string]string{
		"rounded, outward":      `{"kind":"cone","grow":"outward","angle":45,"axis":[125,105],"round":1}`,
		"rounded, inward":       `{"kind":"cone","grow":"inward","angle":40,"axis":[125,105],"round":2}`,
		"profile about a point": `{"kind":"profile","line":[[125,105]],"curve":[[0,0],[5,45],[30,22]]}`,
	} {
		if raced && name != "rounded, inward" {
			continue
		}
		s, err := Parse([]byte(`{"conewright":1,"part":{"file":"../../assets/parts/bracket.stl"},"machine":"swivel-45","zones":{"name":"z","field":`+field+`}}`), ".")
		if err != nil {
			t.Fatal(err)
		}
		runWithoutClearance(t, name, s)
	}
}

package job

import (
	"encoding/json"
	"strings"
	"testing"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r2"
)

// At every bead the machine's true place is the same, whatever the kept start did
// to units, modes and frame. The reading of the motion shares no code with what
// wrote it.
func TestBeadsLieWhereTheyDoWhateverTheStartDid(t *testing.T) {
	s := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`)
	p := prepare(t, s)
	g := p.regions[0]
	card, err := json.Marshal(s.Machine.Card)
	if err != nil {
		t.Fatal(err)
	}
	var m reading.Machine
	if err := json.Unmarshal(card, &m); err != nil {
		t.Fatal(err)
	}
	var want [][3]float64
	for i, start := range []string{
		"", "G92 X5.5 Y-3.25 Z2.5", "G92 X5|G91|G1 X3|G90|G92 Y4", "G92|G1 X9 Y2 Z4", "G55", "G93|G94|M83|M82",
	} {
		d := dialect{walls: 2, fill: 0.3, start: append([]string{"G28", "G90", "M82", "M109 S200", "G1 X30 Y20 Z2 F3000"}, strings.Split(start, "|")...)}
		file := d.slice(g.Warped, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{})
		r := p.bring(t, FromFile, map[string][]byte{"z": file.text})
		path, err := reading.ReadPath(r.files.Path(CorrectedName), &m)
		if err != nil {
			t.Fatal(err)
		}
		var have [][3]float64
		for _, step := range path.Steps {
			if step.Zone >= 0 && step.Extrudes() {
				have = append(have, step.To.XYZ)
			}
		}
		if i == 0 {
			want = have
		}
		if len(have) != len(want) || len(have) < 100 {
			t.Errorf("%q: %d beads, want %d", start, len(have), len(want))
			continue
		}
		for k, at := range have {
			if far := max(abs(at[0]-want[k][0]), abs(at[1]-want[k][1]), abs(at[2]-want[k][2])); far > 0.0015 { // a last digit
				t.Errorf("%q: bead %d lies at %v, want %v", start, k, at, want[k])
				break
			}
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }

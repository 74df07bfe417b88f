package job

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// Every demo part in every kind of field, at three angles,
// with and without rounding, on both kinds of head: the motion read back stays
// within tolerance, above the bed, and holds the filament that the log says; the
// warped mesh keeps the volume. What the head meets is another test's matter.
func TestDemoPartsInEveryField(t *testing.T) {
	parts, err := filepath.Glob("../../assets/parts/*.stl")
	if err != nil || len(parts) < 8 {
		t.Fatalf("%d demo parts: %v", len(parts), err)
	}
	var fields []string
	for _, angle := range []int{15, 30, 45} {
		for _, round := range []int{0, 1} {
			for _, grow := range []string{GrowOutward, GrowInward} {
				fields = append(fields, fmt.Sprintf(`{"kind":"cone","grow":"%s","angle":%d,"round":%d}`, grow, angle, round))
			}
		}
		fields = append(fields, fmt.Sprintf(`{"kind":"ramp","angle":%d,"toward":30}`, angle))
	}
	fields = append(fields, `{"kind":"level"}`)
	sparse := 1
	switch {
	case raced:
		sparse = 97
	case testing.Short():
		sparse = 17
	}
	for i, part := range parts {
		t.Run(filepath.Base(part), func(t *testing.T) {
			t.Parallel()
			for j, machineName := range []string{"swivel-45", "straight"} {
				for k, field := range fields {
					if n := (2*i+j)*len(fields) + k + 1; n%sparse != 0 {
						continue
					}
					name := fmt.Sprintf("%s %s", machineName, field)
					s, err := Parse([]byte(`{"conewright":1,"part":{"file":"`+part+`"},"machine":"`+machineName+`","shell":0.3,"bead":0.6,"zones":{"name":"z","field":`+field+`}}`), ".")
					if err != nil {
						t.Fatal(err)
					}
					runWithoutClearance(t, name, s)
				}
			}
		})
	}
}

// runWithoutClearance runs all stages but that one, and checks the log.
func runWithoutClearance(t *testing.T, name string, s *Setup) {
	t.Helper()
	r := newRun(s, Options{Out: t.TempDir()})
	for _, step := range []func(context.Context) error{r.readPart, r.divide, r.warp, r.support, r.motion, r.correct, r.proveMotion} {
		if err := step(context.Background()); err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
	}
	log := r.result.Log
	z := log.Zones[0]
	if !(log.Motion.Deviation <= s.Tolerance) {
		t.Errorf("%s: deviation %g at line %d", name, log.Motion.Deviation, r.report.DeviationLine)
	}
	if log.Motion.LowestZ < z.LayerHeight/2-1e-9 {
		t.Errorf("%s: lowest z %g", name, log.Motion.LowestZ)
	}
	if d := math.Abs(z.WarpedVolume - z.Volume); d > math.Max(1e-3*z.Volume, log.Part.Area*s.Tolerance/2) {
		t.Errorf("%s: warping changes the volume by %g of %g", name, d, z.Volume)
	}
	if d := math.Abs(r.report.Filament - z.ContactFilament); d > 1e-4*z.ContactFilament {
		t.Errorf("%s: the file holds %g mm of filament, the log says %g", name, r.report.Filament, z.ContactFilament)
	}
	if strings.HasPrefix(s.Machine.Card.Name, "swivel") && r.report.AzimuthError > 5 {
		t.Errorf("%s: the azimuth errs by %g degrees at line %d", name, r.report.AzimuthError, r.report.AzimuthLine)
	}
	for _, f := range log.Findings {
		if f.Rank == Stop && f.Code != "deviation" && f.Code != "travel-limit" {
			t.Errorf("%s: %s: %s", name, f.Code, f.Text)
		}
	}
}

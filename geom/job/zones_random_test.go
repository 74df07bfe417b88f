package job

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand"
	"path/filepath"
	"testing"
)

// Zones on random cuts, level, slanting and
// upright, one on the other, planned and brought back: the motion read back
// stays within tolerance, over the bed, and keeps its filament. What the head
// meets is another test's matter.
func TestZonesOnRandomCuts(t *testing.T) {
	n := 24
	if testing.Short() || raced {
		n = 4
	}
	rng := rand.New(rand.NewSource(5))
	for i := range n {
		machineName := []string{"swivel-45", "straight", "swivel-45-wired"}[i%3]
		s := newJob(t, machineName, outward45)
		names := 0
		s.Zones = randomTree(rng, 1+i%3, &names)
		if i%4 == 3 {
			card := ownCard(t, "swivel-45")
			card.Swivel.TipOffset = [3]float64{1.5, 1, 0}
			s.Machine = Machine{Card: card}
		}
		text, err := s.JSON()
		if err != nil {
			t.Fatal(err)
		}
		zones, _ := json.Marshal(s.Zones)
		name := fmt.Sprintf("case %d, %s: %s", i, s.Machine.Card.Name, zones)
		if s, err = Parse(text, filepath.Dir(s.PartPath())); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if m, err := ReadModel(t.Context(), s); err != nil {
			t.Fatal(err)
		} else if _, err := Divide(t.Context(), s, m); err != nil {
			continue // a cut that misses what an earlier one left
		}
		checkRandomZones(t, name, s)
	}
}

func checkRandomZones(t *testing.T, name string, s *Setup) {
	t.Helper()
	r, path, err := tryMotion(t, s)
	var in *InputError
	switch {
	case errors.As(err, &in):
		return // a sliver that can't hold a bead, said as it should be
	case err != nil:
		t.Fatalf("%s: %v", name, err)
	}
	log := r.result.Log
	if !(log.Motion.Deviation <= s.Tolerance+1e-9) {
		t.Errorf("%s: deviation %g at line %d, %v", name, log.Motion.Deviation, r.report.DeviationLine, r.report.DeviationAt)
	}
	if r.report.Missing > 0 {
		t.Errorf("%s: %d beads missing", name, r.report.Missing)
	}
	if s.Machine.Card.Swivel != nil && r.report.AzimuthError > 5.01 {
		t.Errorf("%s: the azimuth errs by %g degrees at line %d", name, r.report.AzimuthError, r.report.AzimuthLine)
	}
	least := math.Inf(1)
	for _, z := range log.Zones {
		least = math.Min(least, z.LayerHeight/2)
	}
	if log.Motion.LowestZ < least-1e-9 {
		t.Errorf("%s: lowest z %g", name, log.Motion.LowestZ)
	}
	m := readMotion(t, path, s.Machine.Card)
	m.checkFilament(t, log)
	m.tips(s.Machine.Card)
	m.checkLifts(t, s.Machine.Card)
	m.checkSwivel(t, s)
	for _, f := range log.Findings {
		if f.Rank == Stop && f.Code != "travel-limit" {
			t.Errorf("%s: %s: %s", name, f.Code, f.Text)
		}
	}
	if t.Failed() {
		t.FailNow()
	}
}

// randomTree returns nested cuts through the mushroom of newJob, seated at
// (125, 105), with fields about its axis.
func randomTree(rng *rand.Rand, cuts int, names *int) *Zone {
	if cuts == 0 {
		*names++
		return &Zone{Name: fmt.Sprintf("z%d", *names), Field: randomField(rng)}
	}
	tilt := []float64{0, 0.3, 0.7, 1, 1.2, math.Pi / 2}[rng.Intn(6)]
	sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
	cut := &Cut{
		Point:  [3]float64{125 + 4*rng.Float64() - 2, 105, 4 + 6*rng.Float64()},
		Normal: [3]float64{math.Sin(tilt) * cos, math.Sin(tilt) * sin, math.Max(0, math.Cos(tilt))},
	}
	under := rng.Intn(cuts)
	return &Zone{Cut: cut, Under: randomTree(rng, under, names), Over: randomTree(rng, cuts-1-under, names)}
}

func randomField(rng *rand.Rand) *Field {
	axis := [2]float64{125 + 6*rng.Float64() - 3, 105}
	switch rng.Intn(5) {
	case 0:
		return &Field{Kind: KindLevel}
	case 1:
		return &Field{Kind: KindRamp, Angle: 10 + 40*rng.Float64(), Toward: 360 * rng.Float64()}
	case 2:
		return &Field{Kind: KindCone, Grow: GrowInward, Angle: 10 + 35*rng.Float64(), Axis: &axis, Round: float64(rng.Intn(2))}
	}
	return &Field{Kind: KindCone, Grow: GrowOutward, Angle: 10 + 35*rng.Float64(), Axis: &axis, Round: float64(rng.Intn(2))}
}

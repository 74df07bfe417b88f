package window

import (
	"testing"

	"conewright/geom/job"
)

func twoZones(t *testing.T) *job.Setup {
	t.Helper()
	s, err := job.New("part.stl", "swivel-45")
	if err != nil {
		t.Fatal(err)
	}
	splitLeaf(s, "part", [3]float64{0, 0, 10})
	return s
}

func TestACutSplitsAZoneAndItsHalvesShareNothing(t *testing.T) {
	s := twoZones(t)
	leaves := s.Zones.Leaves()
	if len(leaves) != 2 || leaves[0].Name != "part" || leaves[1].Name != "zone-2" {
		t.Fatalf("%+v", leaves)
	}
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	leaves[1].Field.Angle = 30
	if leaves[0].Field.Angle == 30 {
		t.Error("the halves share their field")
	}
	if cut := cutUnder(s, "zone-2"); cut == nil || cut.Point[2] != 10 {
		t.Errorf("the upper zone rests on %v", cut)
	}
	if cut := cutUnder(s, "part"); cut != nil {
		t.Errorf("the zone on the bed rests on %v", cut)
	}
}

func TestTheHalvesOfAZoneAboutALineShareNoPoint(t *testing.T) {
	s := twoZones(t)
	lower := leafNamed(s, "part")
	*lower.Field = job.Field{Kind: job.KindRidge, Grow: job.GrowOutward, Angle: 45, Line: [][2]float64{{1, 2}, {3, 4}}}
	upper := leafNamed(s, splitLeaf(s, "part", [3]float64{0, 0, 5}))
	upper.Field.Line[0][0] = 9
	if got := leafNamed(s, "part").Field.Line[0][0]; got != 1 {
		t.Errorf("moving a point of one moves the other's to %g", got)
	}
}

func TestAMiddleZoneRestsOnTheCutBelowIt(t *testing.T) {
	s := twoZones(t)
	splitLeaf(s, "zone-2", [3]float64{0, 0, 20})
	for name, z := range map[string]float64{"zone-2": 10, "zone-3": 20} {
		if cut := cutUnder(s, name); cut == nil || cut.Point[2] != z {
			t.Errorf("%s rests on %v", name, cut)
		}
	}
}

func TestRemovingACutJoinsItsHalves(t *testing.T) {
	for _, keep := range []string{"part", "zone-2"} {
		s := twoZones(t)
		joinLeaf(s, keep)
		if leaves := s.Zones.Leaves(); len(leaves) != 1 || leaves[0].Name != keep {
			t.Errorf("%s: %+v", keep, leaves)
		}
	}
}

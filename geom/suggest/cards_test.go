package suggest

import (
	"fmt"
	"testing"

	"conewright/geom/machine"
)

// headed returns the swivel card with another tilt and another bound.
func headed(t testing.TB, tilt, offSquare float64) *machine.Card {
	c := *card(t, "swivel-45")
	c.Head.Tilt, c.Head.OffSquare = tilt, offSquare
	if tilt == 0 {
		c.Swivel = nil
	}
	return &c
}

func TestHeadBoundsWhatIsSuggested(t *testing.T) {
	for _, h := range []struct {
		tilt, offSquare float64
		level           bool // the head allows level layers
		carries         bool // and shells that carry a level underside
	}{
		{45, 0, false, true}, {45, 5, false, true}, {45, 45, true, true},
		{30, 20, false, true}, {20, 25, true, true}, {35, 5, false, false},
		{0, 45, true, true}, {0, 20, true, false}, {0, 0, true, false},
	} {
		t.Run(fmt.Sprintf("tilt %g off %g", h.tilt, h.offSquare), func(t *testing.T) {
			o := Options{Card: headed(t, h.tilt, h.offSquare)}
			for _, name := range []string{"bollard", "hourglass"} {
				m := partNamed(t, name).Seat(125, 105)
				plans := plansOf(t, m, o)
				if name == "bollard" {
					checkFirst(t, plans, !h.carries)
				}
				for i := range plans {
					checkPlan(t, m, o, &plans[i])
					for _, z := range plans[i].Zones.Leaves() {
						if z.Field.Kind == Level && !h.level {
							t.Errorf("%s: a level zone under a head of tilt %g", name, h.tilt)
						}
					}
				}
			}
		})
	}
}

func TestFootWhereTheHeadAllowsLevelLayers(t *testing.T) {
	plans := plansOf(t, partNamed(t, "funnel, wide end up").Seat(125, 105), Options{Card: card(t, "straight")})
	for _, p := range plans {
		if l := p.Zones.Leaves(); l[0].Name == footName && l[0].Field.Kind == Level && len(l) > 1 {
			return
		}
	}
	t.Error("no plan with a foot")
}

func TestHeadForWhichNothingIsSquareIsTold(t *testing.T) {
	// Shells of 55 degrees and more want wider beads than are given.
	plans := plansOf(t, partNamed(t, "bollard").Seat(125, 105), Options{Card: headed(t, 60, 5)})
	if len(plans[0].Figures.HeadHints) == 0 {
		t.Error("no hint")
	}
	checkFirst(t, plans, true)
}

// A head that an axis leans stands square on level and on steep shells: plans carry a
// level underside, may mix both, and none stands off square.
func TestALeaningHeadIsOfferedLevelAndSteepShells(t *testing.T) {
	for _, name := range []string{"two-axis-head", "head-and-bed", "trunnion"} {
		o := Options{Card: card(t, name)}
		m := partNamed(t, "bollard").Seat(125, 105)
		plans, mixed := plansOf(t, m, o), false
		checkFirst(t, plans, false)
		for i := range plans {
			checkPlan(t, m, o, &plans[i])
			if off := plans[i].Figures.OffSquareDeg; off > 1e-9 {
				t.Errorf("%s: plan %d stands %g degrees off square", name, i+1, off)
			}
			kinds := map[Kind]bool{}
			for _, z := range plans[i].Zones.Leaves() {
				kinds[z.Field.Kind] = true
			}
			mixed = mixed || kinds[Level] && len(kinds) > 1
		}
		if !mixed {
			t.Errorf("%s: no plan has a level zone and a steep one", name)
		}
	}
}

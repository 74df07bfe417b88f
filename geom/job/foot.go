package job

import (
	"fmt"

	"conewright/geom/message"
)

// AddFoot puts a foot under the part: a level zone of so many shells on the bed,
// for a better hold on it. It does nothing and returns false where every zone is
// level, where less than one shell is wanted, or where the part stands on a foot
// already. A head that leans stands off square on level shells: the card's
// off_square tells whether it should.
func (s *Setup) AddFoot(shells int) bool {
	if shells < 1 || s.Footed() {
		return false
	}
	taken := map[string]bool{} // in any part
	level := true
	for _, leaf := range s.Leaves() {
		taken[leaf.Name] = true
	}
	for _, leaf := range s.Zones.Leaves() {
		level = level && leaf.Field.Level()
	}
	if level {
		return false
	}
	name := FootName
	for i := 2; taken[name]; i++ {
		name = fmt.Sprintf("%s-%d", FootName, i)
	}
	s.Zones = &Zone{
		Cut:   &Cut{Point: [3]float64{s.Part.Seat[0], s.Part.Seat[1], float64(shells) * s.Shell}, Normal: [3]float64{0, 0, 1}},
		Under: &Zone{Name: name, Field: &Field{Kind: KindLevel}},
		Over:  s.Zones,
	}
	return true
}

// footFits refuses a foot under a head that leans further off level shells than
// its flat tip prints: its rim would plough each bead beside it.
func (s *Setup) footFits() error {
	if head := &s.Machine.Card.Head; head.Tilt > head.OffSquare {
		return &InputError{Where: message.Name("planner.foot"),
			What: message.New("a head that leans %g degrees can't print the foot's level shells, %g off square is the most", head.Tilt, head.OffSquare),
			Mend: message.New("leave the foot out")}
	}
	return nil
}

// FootName names the level zone that AddFoot makes.
const FootName = "foot"

// Footed reports whether the part stands on a level zone of its own, under a
// level cut.
func (s *Setup) Footed() bool {
	z := s.Zones
	return z != nil && z.Cut != nil && z.Cut.Only == nil && z.Cut.Normal[0] == 0 && z.Cut.Normal[1] == 0 &&
		z.Under.Cut == nil && z.Under.Field.Level()
}

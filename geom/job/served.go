package job

import (
	"conewright/geom/machine"
	"conewright/geom/message"
)

// checkServed refuses a card that is right in itself, but whose machine no motion
// is made for yet.
func checkServed(c *machine.Card) error {
	_, bed := c.TurningBed()
	for _, not := range []struct {
		is    bool
		entry string
		what  message.Text
	}{
		{len(c.Rotary) > 0 && !c.Swivels() || c.BedTilts(), "machine", message.New("turning axes other than one along z aren't served yet")},
		{(c.Slants() || c.Endless()) && (c.Leans() || c.BedTurns()), "machine: linear", message.New("linear axes that slant or have no end beside two turning axes or a bed that turns aren't served yet")},
		{bed && len(c.Obstacles) > 0, "machine: obstacles", message.New("obstacles beside a bed that turns aren't served yet")},
	} {
		if not.is {
			return &InputError{Where: message.Name(not.entry), What: not.what, Mend: message.New("use the card of a machine with one turning axis along z, of the head or of the bed, or none")}
		}
	}
	return nil
}

// checkServedField refuses a field to whose shells the card's head can't stay square
// yet: an axis that leans the head keeps its lean over a zone.
func (s *Setup) checkServedField(f *Field, at string) error {
	lift := f.Lift()
	if !s.Machine.Card.Leans() || lift.EvenSlope() {
		return nil
	}
	return wrong(at, "use one angle without rounding, and a zone for each steepness", "shells that aren't equally steep everywhere aren't served yet on a head that leans by an axis")
}

package job

import (
	"conewright/geom/machine"
	"conewright/geom/message"
)

// checkServed refuses a card that is right in itself, but whose machine no motion
// is made for yet.
func checkServed(c *machine.Card) error {
	use := message.New("use the card of a machine with one turning axis along z, of the head or of the bed, or none")
	axes := message.New("use a card on which one axis stands along z as the part sees it, and a second one, if any, lies level in the plane in which the nozzle is tilted")
	for _, not := range []struct {
		is    bool
		entry string
		what  message.Text
		mend  message.Text
	}{
		{len(c.Rotary) > 0 && !c.Swivels(), "machine: rotary", message.New("these turning axes aren't served yet"), axes},
		{c.Slants() && c.BedTilts() || c.Endless() && (c.Leans() || c.BedTurns()), "machine: linear", message.New("linear axes that slant beside a bed that tilts, or have no end beside two turning axes or a bed that turns, aren't served yet"), use},
	} {
		if not.is {
			return &InputError{Where: message.Name(not.entry), What: not.what, Mend: not.mend}
		}
	}
	return nil
}

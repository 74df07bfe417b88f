package testpiece

import (
	"math"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
)

// mostOff is by how much a reading may differ from what was wanted, as a share: beyond
// that something else is wrong, or it was misread (common practice, no source).
const mostOff = 0.4

// Filament returns the filament diameter, mm, with which the flow cone's wall comes out
// as thick as s wants a bead, where it was measured to be wall mm thick. A bead's
// section is a stadium of the bead's width and the shell's height; what comes out grows
// with its area, and what a file asks for falls with the square of the diameter: d^2
// grows as the measured area to the wanted one.
func Filament(s *job.Setup, wall float64) (float64, error) {
	if !(math.Abs(wall-s.Bead) <= mostOff*s.Bead) {
		return 0, message.Errorf("a wall of %.2f mm can't come from beads of %.2f mm: measure one wall alone, away from the seam and the bed", wall, s.Bead)
	}
	area := func(w float64) float64 { return (w-s.Shell)*s.Shell + math.Pi/4*s.Shell*s.Shell }
	return s.Machine.Card.Filament * math.Sqrt(area(wall)/area(s.Bead)), nil
}

// Higher returns by how much, mm, the tip stands too high over the bed where the disc
// came out height mm high: its top is where the machine's zero has it, its underside on
// the bed.
func Higher(height float64) (float64, error) {
	if !(math.Abs(height-DiscHeight) <= mostOff*DiscHeight) {
		return 0, message.Errorf("a disc of %.2f mm is too far from %.1f mm: home the machine anew and look at its zero first", height, DiscHeight)
	}
	return height - DiscHeight, nil
}

// KeepsTip reports whether a card has a place for the tip's height: a swivel's offset is
// level, and there the machine's own zero is what to mend.
func KeepsTip(c *machine.Card) bool { return c.Swivel == nil }

// LowerTip moves the tip of a card that has a place for it: by is how much, mm, the tip
// stood too high.
func LowerTip(c *machine.Card, by float64) { c.Head.Tip[2] = round(c.Head.Tip[2]+by, 3) }

func round(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}

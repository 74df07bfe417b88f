package calibrate

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// CrossOptions say where and how the crosses are drawn. The zero value is filled
// in from the card.
type CrossOptions struct {
	X, Y   float64 // middle of the crosses, bed coordinates
	Arm    float64 // length of an arm, mm; 0: 10
	Height float64 // of the lines, mm; 0: half the nozzle
	Speed  float64 // mm/s; 0: 15
	// Start and End replace the card's, with temperatures filled in already.
	Start, End string
}

// ErrNoSwivel says that a card has nothing to calibrate.
var ErrNoSwivel = errors.New("calibrate: the machine has no swivel")

// ErrSlants says that crosses aren't drawn on linear axes that slant: one word of
// theirs doesn't lift the tip.
var ErrSlants = message.Errorf("calibrate: test crosses aren't drawn on linear axes that slant")

// Cross returns a motion file that draws the same cross four times, with the head
// leaning toward 0, 90, 180 and 270 degrees. Where the card's tip offset and zero
// are right, the four lie on each other; how far they lie apart is twice the
// offset's error.
func Cross(card *machine.Card, o CrossOptions) ([]byte, error) {
	if card.Swivel == nil {
		return nil, ErrNoSwivel
	}
	if card.Slants() {
		return nil, ErrSlants
	}
	o = o.filled(card)
	d := drawer{card: card, o: o, z: o.Height + card.RimRadius()*math.Sin(card.Head.Tilt*math.Pi/180)}
	d.text("; Conewright, test crosses for " + strings.Map(oneLine, card.Name))
	d.text("; CAUTION: hot and moving parts. Keep a hand on the power switch.")
	d.text("; Follow the machine maker's instructions and local rules.")
	d.text(strings.TrimRight(o.Start, "\n"))
	for _, l := range []string{"G21", "G90", "M82", "G92 E0", "G94"} {
		d.text(l)
	}
	d.raise()
	for quarter := range 4 {
		d.cross(float64(quarter) * math.Pi / 2)
	}
	d.text(strings.TrimRight(o.End, "\n"))
	if d.out {
		return nil, fmt.Errorf("calibrate: a cross at %g, %g with arms of %g mm leaves the machine's travel: move it to the middle of the bed", o.X, o.Y, o.Arm)
	}
	return []byte(d.b.String()), nil
}

func (o CrossOptions) filled(card *machine.Card) CrossOptions {
	if o.X == 0 && o.Y == 0 {
		o.X, o.Y = card.BedCentre()
	}
	if o.Arm == 0 {
		o.Arm = 10
	}
	if o.Height == 0 {
		o.Height = card.Nozzle / 2
	}
	if o.Speed == 0 {
		o.Speed = 15
	}
	if o.Start == "" {
		o.Start = card.Start
	}
	if o.End == "" {
		o.End = card.End
	}
	return o
}

func oneLine(r rune) rune {
	if r < ' ' {
		return ' '
	}
	return r
}

// drawer writes the file.
type drawer struct {
	card *machine.Card
	o    CrossOptions
	b    strings.Builder
	z, e float64
	out  bool // a word left the machine's travel
}

// clear is the height at which the head turns and crosses, mm.
const clear = 10.0

func (d *drawer) text(s string) {
	if s != "" {
		d.b.WriteString(s + "\n")
	}
}

func (d *drawer) raise() { d.text(fmt.Sprintf("G1 Z%g F%g", clear, math.Floor(d.card.MaxSpeed.Z*60))) }

// cross draws two lines through the middle with the head leaning toward azimuth.
func (d *drawer) cross(azimuth float64) {
	for _, arm := range [2]r3.Vec{{X: d.o.Arm}, {Y: d.o.Arm}} {
		mid := r3.Vec{X: d.o.X, Y: d.o.Y}
		from, to := r3.Sub(mid, arm), r3.Add(mid, arm)
		from.Z, to.Z = clear, d.z
		d.move(from, azimuth, 0, 100)
		from.Z = d.z
		d.move(from, azimuth, 0, d.card.MaxSpeed.Z)
		width := 1.2 * d.card.Nozzle // a line a fifth wider than the nozzle (common practice, no source)
		d.e += width * d.o.Height * 2 * d.o.Arm / d.card.FilamentArea()
		d.move(to, azimuth, d.e, d.o.Speed)
		to.Z = clear
		d.move(to, azimuth, 0, d.card.MaxSpeed.Z)
	}
}

// move writes a move to a pose at speed mm/s; e > 0: with filament up to e.
func (d *drawer) move(tip r3.Vec, azimuth, e, speed float64) {
	c := d.card
	w := c.Words(machine.Pose{Tip: tip, Azimuth: azimuth})
	if r := c.Swivel.Range; r != nil { // the equivalent word that the swivel can reach
		for w.Turn[0] > r[1] {
			w.Turn[0] -= 360
		}
		for w.Turn[0] < r[0] {
			w.Turn[0] += 360
		}
	}
	d.out = d.out || w.X < c.Travel.X[0] || w.X > c.Travel.X[1] || w.Y < c.Travel.Y[0] || w.Y > c.Travel.Y[1] || w.Z > c.Travel.Z[1]
	line := append([]byte(nil), "G1"...)
	line = motion.AppendWord(line, 'X', w.X, c.Decimals.XYZ)
	line = motion.AppendWord(line, 'Y', w.Y, c.Decimals.XYZ)
	line = motion.AppendWord(line, 'Z', w.Z, c.Decimals.XYZ)
	line = motion.AppendWord(line, c.Swivel.Letter[0], w.Turn[0], c.Decimals.Angle)
	if e > 0 {
		line = motion.AppendWord(line, 'E', e, c.Decimals.E)
	}
	line = motion.AppendFeed(line, 60*math.Min(speed, math.Min(c.MaxSpeed.X, c.MaxSpeed.Y)))
	d.text(string(line))
}

package machine

import (
	"fmt"
	"math"
	"strings"

	"conewright/geom/message"
	"conewright/geom/strictjson"

	"gonum.org/v1/gonum/spatial/r3"
)

// UnmarshalJSON fills what the file leaves out before reading it.
func (a *Rotary) UnmarshalJSON(data []byte) error {
	type plain Rotary
	p := plain{Letter: "C", On: OnHead, About: [3]float64{0, 0, 1}, Sense: 1, MaxSpeed: 180, MaxAccel: 1500}
	if err := strict(data, &p); err != nil {
		return err
	}
	*a = Rotary(p)
	return nil
}

// UnmarshalJSON takes what the file leaves out as the bed's x, y and z.
func (l *Linear) UnmarshalJSON(data []byte) error {
	type plain Linear
	p := plain{X: [3]float64{1, 0, 0}, Y: [3]float64{0, 1, 0}, Z: [3]float64{0, 0, 1}}
	if err := strict(data, &p); err != nil {
		return err
	}
	*l = Linear(p)
	return nil
}

// strict reads JSON that holds known keys only: a mistyped one would otherwise
// leave a limit out.
func strict(data []byte, v any) error {
	return strictjson.Decode(data, v)
}

const (
	// unitSlip is how far from 1 the length of a direction in a card may be:
	// directions are written with a few digits.
	unitSlip = 1e-3
	// leastApart is the least sine of the angle between two turning axes, and the
	// least volume that three linear directions span: below, the machine can't
	// reach the pose, or only with huge words.
	leastApart = 0.1
)

func (k *checker) direction(entry string, v [3]float64) {
	if n := r3.Norm(vector(v)); !(math.Abs(n-1) <= unitSlip) {
		k.fail(entry, message.New("%g long", n), message.New("give a direction of length 1, such as [0, 0, 1]"))
	}
}

func (k *checker) rotary(c *Card) {
	if len(c.Rotary) == 0 {
		return
	}
	if c.Swivel != nil {
		k.fail("rotary", message.New("stands beside swivel"), message.New("give one of them: a swivel is an axis of rotary about [0, 0, 1]"))
	}
	if n := len(c.Rotary); n > MostTurning {
		k.fail("rotary", message.New("%d axes", n), message.New("give at most %d", MostTurning))
		return
	}
	letters := ""
	for i := range c.Rotary {
		k.turning(fmt.Sprintf("rotary[%d].", i), &c.Rotary[i])
		if strings.Contains(letters, c.Rotary[i].Letter) {
			k.fail(fmt.Sprintf("rotary[%d].letter", i), message.New("%q is taken", c.Rotary[i].Letter), message.New("give each axis a letter of its own"))
		}
		letters += c.Rotary[i].Letter
	}
	if len(c.Rotary) == MostTurning && k.err == nil {
		if sin := r3.Norm(r3.Cross(vector(c.Rotary[0].About), vector(c.Rotary[1].About))); sin < leastApart {
			k.fail("rotary[1].about", message.New("both axes turn about nearly the same direction"), message.New("give axes that stand at an angle, or one axis"))
		}
	}
}

func (k *checker) turning(entry string, a *Rotary) {
	k.letter(entry+"letter", a.Letter)
	if a.On != OnHead && a.On != OnBed {
		k.fail(entry+"on", message.New("%q isn't known", a.On), message.New("use head or bed"))
	}
	k.direction(entry+"about", a.About)
	for _, v := range a.At {
		k.within(entry+"at", v, -maxLength, maxLength)
	}
	k.sense(entry+"sense", a.Sense)
	k.within(entry+"zero", a.Zero, -mostTurned, mostTurned)
	k.within(entry+"max_speed", a.MaxSpeed, 1e-3, maxRate)
	k.within(entry+"max_accel", a.MaxAccel, 1e-3, maxRate)
	k.turnRange(entry+"range", a.Range, a.Zero)
}

func (k *checker) letter(entry, letter string) {
	if len(letter) != 1 || !strings.Contains("ABCUVW", letter) {
		k.fail(entry, message.New("%q isn't an axis that can be used", letter), message.New("use A, B, C, U, V or W"))
	}
}

func (k *checker) sense(entry string, sense float64) {
	if sense != 1 && sense != -1 {
		k.fail(entry, message.New("%g", sense), message.New("use 1 or -1"))
	}
}

func (k *checker) turnRange(entry string, r *[2]float64, zero float64) {
	if r == nil {
		return
	}
	k.span(entry, *r, 1e6)
	if zero < r[0] || zero > r[1] {
		k.fail(entry, message.New("[%g, %g] doesn't hold zero, %g", r[0], r[1], zero), message.New("the axis begins at zero, so let the range hold it"))
	}
}

func (k *checker) linear(l *Linear) {
	if l == nil {
		return
	}
	k.direction("linear.x", l.X)
	k.direction("linear.y", l.Y)
	k.direction("linear.z", l.Z)
	if volume := r3.Dot(vector(l.X), r3.Cross(vector(l.Y), vector(l.Z))); k.err == nil && !(math.Abs(volume) >= leastApart) {
		k.fail("linear", message.New("the three directions lie nearly in one plane"), message.New("give three directions that span space"))
	}
}

// endless checks axes without end: a belt lies level.
func (k *checker) endless(c *Card) {
	for i, d := range c.Linears() {
		entry, l := []string{"travel.x", "travel.y", "travel.z"}[i], []Limits{c.Travel.X, c.Travel.Y, c.Travel.Z}[i]
		if l.Endless() && d.Z != 0 {
			k.fail(entry, message.New("has no end, but isn't level"), message.New("give two limits, or in linear a level direction: a belt lies in the bed's plane"))
		}
	}
}

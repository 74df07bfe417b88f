package machine

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"conewright/assets/machines"
	"conewright/geom/message"
	"conewright/geom/strictjson"
)

// CardVersion is the newest version of the card format that is understood.
const CardVersion = 1

// maxCardBytes bounds a card file; a card is a page or two of text.
const maxCardBytes = 1 << 20

// CardError says which entry of a card can't be used, why, and how to mend it.
type CardError struct {
	Entry string // as in the file: "swivel.range"
	What  message.Text
	Mend  message.Text
}

// Message says the error as a sentence.
func (e *CardError) Message() message.Text {
	return message.Join(": ", message.New("machine card"), message.Name(e.Entry), e.What, e.Mend)
}

func (e *CardError) Error() string { return e.Message().String() }

// Builtin returns the built-in card of that name, or false.
func Builtin(name string) (*Card, bool) {
	data, ok := machines.Card(name)
	if !ok {
		return nil, false
	}
	c, err := Parse(data)
	if err != nil {
		panic("built-in card " + name + ": " + err.Error()) // its test keeps this from happening
	}
	return c, true
}

// BuiltinNames lists the built-in cards, sorted.
func BuiltinNames() []string { return machines.Names() }

// Defaults returns a card that holds what a card file may leave out: a plain
// three-axis machine.
func Defaults() Card {
	return Card{
		Version:       CardVersion,
		Name:          "unnamed",
		Travel:        Travel{X: Limits{0, 250}, Y: Limits{0, 210}, Z: Limits{0, 200}},
		MaxSpeed:      AxisRates{X: 200, Y: 200, Z: 12, E: 60},
		MaxAccel:      AxisRates{X: 1000, Y: 1000, Z: 200, E: 3000},
		MaxNozzleTemp: 300, MaxBedTemp: 120, // common practice, no source
		Head: Head{OffSquare: 20, TipFree: 1,
			Profile: [][2]float64{{0, 0.4}, {1, 0.9}, {8, 5}, {20, 9}, {40, 14}}},
		Nozzle: 0.4, Filament: 1.75, MaxFlow: 12,
		Retract:   Retract{Length: 1, Speed: 35, Lift: 0.4},
		FeedBasis: FeedTip,
		Decimals:  Decimals{XYZ: 3, Angle: 3, E: 5},
	}
}

// UnmarshalJSON fills what the file leaves out before reading it.
func (s *Swivel) UnmarshalJSON(data []byte) error {
	type plain Swivel
	p := plain{Letter: "C", Sense: 1, MaxSpeed: 360, MaxAccel: 3000}
	if err := strict(data, &p); err != nil {
		return err
	}
	*s = Swivel(p)
	return nil
}

// Read reads and checks a card.
func Read(r io.Reader) (*Card, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxCardBytes+1))
	if err != nil {
		return nil, fmt.Errorf("machine card: %w", err)
	}
	return Parse(data)
}

// Parse reads and checks a card from JSON. What the file leaves out is as in
// Defaults; a key that isn't known is an error, since a mistyped limit would
// otherwise be none.
func Parse(data []byte) (*Card, error) {
	if len(data) > maxCardBytes {
		return nil, &CardError{"file", message.New("over %d bytes", maxCardBytes), message.New("a machine card is a short text; is this another file?")}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	var v struct {
		Version *int `json:"conewright_machine"`
	}
	if err := json.Unmarshal(data, &v); err != nil {
		return nil, jsonError(err)
	}
	if v.Version == nil {
		return nil, &CardError{"conewright_machine", message.New("missing"), message.New("a machine card begins with \"conewright_machine\": 1")}
	}
	if *v.Version > CardVersion || *v.Version < 1 {
		return nil, &CardError{"conewright_machine", message.New("version %d isn't known here (%d is)", *v.Version, CardVersion), message.New("use a newer Conewright or an older card")}
	}
	c := Defaults()
	if err := strict(data, &c); err != nil {
		return nil, jsonError(err)
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	return &c, nil
}

func jsonError(err error) error {
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	var odd *strictjson.Error
	switch {
	case errors.As(err, &odd):
		return &CardError{cmp.Or(odd.Where, "file"), odd.What, odd.Mend}
	case errors.As(err, &syntax):
		return &CardError{fmt.Sprintf("byte %d", syntax.Offset), message.Of(syntax), message.New("mend the JSON there")}
	case errors.As(err, &typ):
		return &CardError{typ.Field, message.New("is a %s", strictjson.Named(typ.Value)), message.New("give it the kind of value that it needs (%s)", strictjson.Kind(typ.Type))}
	}
	return &CardError{"file", message.New(strings.TrimPrefix(err.Error(), "json: ")), message.New("mend the card; DEVELOPERS.md shows one")}
}

// Bounds of what a card may say: far beyond any desktop machine, near enough
// that sums and products stay finite and loops short.
const (
	maxLength  = 1e4  // mm
	maxRate    = 1e6  // mm/s, degrees/s and per second
	mostTurned = 3600 // degrees, of a turning axis' zero
	maxEntries = 256  // of a list
	maxText    = 1 << 16
)

// Check returns a *CardError for the first entry that makes no sense.
func (c *Card) Check() error {
	k := checker{}
	k.text("name", c.Name, 1, 100)
	for _, a := range []struct {
		name string
		v    Limits
	}{{"travel.x", c.Travel.X}, {"travel.y", c.Travel.Y}, {"travel.z", c.Travel.Z}} {
		if !a.v.Endless() {
			k.span(a.name, a.v, maxLength)
		}
	}
	for _, a := range []struct {
		name string
		v    float64
	}{
		{"max_speed.x", c.MaxSpeed.X}, {"max_speed.y", c.MaxSpeed.Y}, {"max_speed.z", c.MaxSpeed.Z}, {"max_speed.e", c.MaxSpeed.E},
		{"max_accel.x", c.MaxAccel.X}, {"max_accel.y", c.MaxAccel.Y}, {"max_accel.z", c.MaxAccel.Z}, {"max_accel.e", c.MaxAccel.E},
		{"max_flow", c.MaxFlow}, {"retract.speed", c.Retract.Speed},
	} {
		k.within(a.name, a.v, 1e-3, maxRate)
	}
	k.swivel(c.Swivel)
	k.rotary(c)
	k.linear(c.Linear)
	k.endless(c)
	k.head(&c.Head, c.Swivel != nil || len(c.Rotary) > 0 || c.Linear != nil)
	k.within("max_nozzle_temp", c.MaxNozzleTemp, 0, 1000)
	k.within("max_bed_temp", c.MaxBedTemp, 0, 1000)
	k.within("counts_to", c.CountsTo, 0, 1e9)
	k.within("nozzle", c.Nozzle, 0.05, 10)
	k.within("filament", c.Filament, 0.5, 10)
	k.within("retract.length", c.Retract.Length, 0, 50)
	k.within("retract.lift", c.Retract.Lift, 0, 50)
	k.boxes("obstacles", c.Obstacles, OnBed)
	k.within("max_moves_per_s", c.MaxMovesPerS, 0, maxRate)
	switch c.FeedBasis {
	case FeedTip, FeedAllAxes, FeedInverseTime:
	default:
		k.fail("feed_basis", message.New("%q isn't known", c.FeedBasis), message.New("use tip, all-axes or inverse-time"))
	}
	k.within("decimals.xyz", float64(c.Decimals.XYZ), 2, 6)
	k.within("decimals.angle", float64(c.Decimals.Angle), 1, 6)
	k.within("decimals.e", float64(c.Decimals.E), 3, 8)
	k.text("start", c.Start, 0, maxText)
	k.text("end", c.End, 0, maxText)
	if k.err == nil {
		return nil
	}
	return k.err
}

// checker keeps the first fault.
type checker struct{ err *CardError }

func (k *checker) fail(entry string, what, mend message.Text) {
	if k.err == nil {
		k.err = &CardError{entry, what, mend}
	}
}

func (k *checker) within(entry string, v, least, greatest float64) {
	if !(v >= least && v <= greatest) {
		k.fail(entry, message.New("%g is out of bounds", v), message.New("give a number from %g to %g", least, greatest))
	}
}

func (k *checker) span(entry string, v [2]float64, bound float64) {
	k.within(entry, v[0], -bound, bound)
	k.within(entry, v[1], -bound, bound)
	if !(v[0] < v[1]) {
		k.fail(entry, message.New("[%g, %g] isn't a range", v[0], v[1]), message.New("give the lower limit first, then a greater one"))
	}
}

func (k *checker) text(entry, v string, least, greatest int) {
	if len(v) < least || len(v) > greatest {
		k.fail(entry, message.New("%d bytes long", len(v)), message.New("give %d to %d bytes", least, greatest))
	}
	if strings.ContainsRune(v, 0) {
		k.fail(entry, message.New("holds a NUL byte"), message.New("give plain text"))
	}
}

// boxes checks a list of boxes, which may be on the machine or as on says.
func (k *checker) boxes(entry string, boxes []Box, on string) {
	if len(boxes) > maxEntries {
		k.fail(entry, message.New("%d boxes", len(boxes)), message.New("give at most %d", maxEntries))
	}
	for i, b := range boxes {
		for a := 0; a < 3; a++ {
			k.span(fmt.Sprintf("%s[%d]", entry, i), [2]float64{b.Min[a], b.Max[a]}, maxLength)
		}
		if b.On != "" && b.On != on {
			k.fail(fmt.Sprintf("%s[%d].on", entry, i), message.New("%q isn't known", b.On), message.New("use bed for an obstacle that turns with the bed, or leave it out"))
		}
	}
}

func (k *checker) swivel(s *Swivel) {
	if s == nil {
		return
	}
	k.letter("swivel.letter", s.Letter)
	k.sense("swivel.sense", s.Sense)
	k.within("swivel.zero", s.Zero, -mostTurned, mostTurned)
	k.within("swivel.max_speed", s.MaxSpeed, 1e-3, maxRate)
	k.within("swivel.max_accel", s.MaxAccel, 1e-3, maxRate)
	for _, v := range s.TipOffset {
		k.within("swivel.tip_offset", v, -1000, 1000)
	}
	k.turnRange("swivel.range", s.Range, s.Zero)
}

func (k *checker) head(h *Head, leans bool) {
	k.within("head.tilt", h.Tilt, 0, 80)
	if !leans && h.Tilt != 0 {
		k.fail("head.tilt", message.New("%g degrees without a swivel", h.Tilt), message.New("a head that can't swivel stands straight: use 0"))
	}
	k.within("head.off_square", h.OffSquare, 0, 90)
	k.within("head.tip_free", h.TipFree, 0, 50)
	if n := len(h.Profile); n < 1 || n > maxEntries {
		k.fail("head.profile", message.New("%d points", n), message.New("give the nozzle's shape as [distance from tip, radius] pairs"))
	}
	for _, v := range h.Tip {
		k.within("head.tip", v, -1000, 1000)
	}
	last := math.Inf(-1)
	for i, p := range h.Profile {
		entry := fmt.Sprintf("head.profile[%d]", i)
		k.within(entry, p[0], 0, maxLength)
		k.within(entry, p[1], 0, maxLength)
		if p[0] < last {
			k.fail(entry, message.New("distance %g after %g", p[0], last), message.New("list the points from the tip upward"))
		}
		last = p[0]
	}
	k.boxes("head.boxes", h.Boxes, "")
}

package machine

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// cardWith returns a small card with one part of its text replaced.
func cardWith(old, new string) string {
	const plain = `{"conewright_machine":1,"name":"m","travel":{"x":[0,250],"y":[0,210],"z":[0,200]},
"swivel":{"letter":"C","sense":1,"zero":0,"range":[-360,360]},
"head":{"tilt":45,"profile":[[0,0.3],[6,4.5]]},"feed_basis":"tip","nozzle":0.4}`
	if old != "" && !strings.Contains(plain, old) {
		panic("no " + old)
	}
	return strings.Replace(plain, old, new, 1)
}

// What a card may say wrong, and the entry that the error must name.
var badCards = []struct{ name, text, entry string }{
	{"empty", "", "byte"},
	{"no version", cardWith(`"conewright_machine":1,`, ``), "conewright_machine"},
	{"newer version", cardWith(`:1,"name"`, `:7,"name"`), "version 7"},
	{"unknown key", cardWith(`"nozzle"`, `"nozle"`), "nozle"},
	{"no name", cardWith(`"name":"m"`, `"name":""`), "name"},
	{"travel turned round", cardWith(`"x":[0,250]`, `"x":[250,0]`), "travel.x"},
	{"travel of miles", cardWith(`"x":[0,250]`, `"x":[0,1e9]`), "travel.x"},
	{"letter", cardWith(`"letter":"C"`, `"letter":"E"`), "swivel.letter"},
	{"sense", cardWith(`"sense":1`, `"sense":2`), "swivel.sense"},
	{"range without zero", cardWith(`[-360,360]`, `[10,360]`), "swivel.range"},
	{"tilt", cardWith(`"tilt":45`, `"tilt":90`), "head.tilt"},
	{"tilt without swivel", cardWith(`"swivel":{"letter":"C","sense":1,"zero":0,"range":[-360,360]},`, ``), "head.tilt"},
	{"no profile", cardWith(`[[0,0.3],[6,4.5]]`, `[]`), "head.profile"},
	{"profile downward", cardWith(`[[0,0.3],[6,4.5]]`, `[[6,0.3],[0,4.5]]`), "head.profile"},
	{"negative radius", cardWith(`[0,0.3]`, `[0,-0.3]`), "head.profile"},
	{"feed basis", cardWith(`"tip"`, `"fast"`), "feed_basis"},
	{"nozzle", cardWith(`"nozzle":0.4`, `"nozzle":0`), "nozzle"},
	{"a list for a number", cardWith(`"nozzle":0.4`, `"nozzle":[1]`), "nozzle"},
}

func TestBadCardsAreRefused(t *testing.T) {
	for _, c := range badCards {
		_, err := Parse([]byte(c.text))
		var e *CardError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.entry) || e.Mend.Format == "" {
			t.Errorf("%s: error %v should name %q and say how to mend it", c.name, err, c.entry)
		}
	}
}

func TestBuiltinCardsAreSound(t *testing.T) {
	names := BuiltinNames()
	if fmt.Sprint(names) != "[belt-45 head-and-bed straight swivel-45 swivel-45-wired trunnion turning-bed-45 two-axis-head]" {
		t.Fatalf("built in: %v", names)
	}
	for _, name := range names {
		c, ok := Builtin(name)
		if !ok || c.Name != name {
			t.Errorf("%s: found %v, named %q", name, ok, c.Name)
		}
		data, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse(data); err != nil {
			t.Errorf("%s: written and read again: %v", name, err)
		}
	}
}

func TestLeavingOutFillsIn(t *testing.T) {
	c, err := Parse([]byte(cardWith("", "")))
	if err != nil {
		t.Fatal(err)
	}
	if c.Swivel.MaxSpeed != 360 || c.Filament != 1.75 || c.Decimals.XYZ != 3 || c.MaxSpeed.Z != 12 {
		t.Errorf("defaults: %+v, swivel %+v", c, c.Swivel)
	}
}

// CONTRACT: word = zero + sense x azimuth; X, Y words = tip - R(azimuth) tip_offset.
func TestWordsByHand(t *testing.T) {
	c, _ := Parse([]byte(cardWith(`"sense":1,"zero":0,`, `"sense":-1,"zero":30,"tip_offset":[2,0,7],`)))
	w := c.Words(Pose{Tip: r3.Vec{X: 10, Y: 20, Z: 3}, Azimuth: math.Pi / 2})
	want := Words{X: 10, Y: 18, Z: 3, Turn: Turn{-60}}
	if math.Abs(w.X-want.X)+math.Abs(w.Y-want.Y)+math.Abs(w.Z-want.Z)+math.Abs(w.Turn[0]-want.Turn[0]) > 1e-9 {
		t.Errorf("words %+v, want %+v", w, want)
	}
}

func TestPoseUndoesWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, _ := Builtin("swivel-45")
		c.Swivel.Sense = rapid.SampledFrom([]float64{1, -1}).Draw(t, "sense")
		c.Swivel.Zero = rapid.Float64Range(-360, 360).Draw(t, "zero")
		for i := range c.Swivel.TipOffset {
			c.Swivel.TipOffset[i] = rapid.Float64Range(-20, 20).Draw(t, "offset")
		}
		coord := rapid.Float64Range(-300, 300)
		p := Pose{Tip: r3.Vec{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y"), Z: coord.Draw(t, "z")}, Azimuth: rapid.Float64Range(-50, 50).Draw(t, "azimuth")}
		q := c.Pose(c.Words(p))
		if r3.Norm(r3.Sub(p.Tip, q.Tip)) > 1e-9 || math.Abs(p.Azimuth-q.Azimuth) > 1e-9 {
			t.Errorf("%v became %v", p, q)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, c := range badCards {
		f.Add([]byte(c.text))
	}
	f.Add([]byte(cardWith("", "")))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Parse(data)
		if err != nil {
			return
		}
		again, err := json.Marshal(c)
		if err != nil {
			t.Fatalf("a card that was read can't be written: %v", err)
		}
		if _, err := Parse(again); err != nil {
			t.Fatalf("what was written isn't read: %v\n%s", err, again)
		}
	})
}

func Example() {
	c, _ := Builtin("swivel-45")
	w := c.Words(Pose{Tip: r3.Vec{X: 100, Y: 90, Z: 12}, Azimuth: math.Pi / 4})
	fmt.Printf("X%g Y%g Z%g %s%g\n", w.X, w.Y, w.Z, c.Swivel.Letter, w.Turn[0])
	// Output: X100 Y90 Z12 C45
}

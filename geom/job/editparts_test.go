package job

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// names lists parts and their zones as the job file would have them.
func namesOf(s *Setup) string {
	var list []string
	for _, p := range s.Parts {
		for _, leaf := range p.Zones.Leaves() {
			list = append(list, p.Name+"/"+leaf.Name)
		}
	}
	return strings.Join(list, " ")
}

func TestPartsAreAddedRemovedAndReordered(t *testing.T) {
	one := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`)
	s := one.Clone()
	second := one.Clone()
	second.Part.Seat = &[2]float64{200, 100}
	if at := s.AddPart(second); at != 1 {
		t.Fatalf("the second part has index %d", at)
	}
	if at := s.AddPart(second); at != 2 {
		t.Fatalf("the third part has index %d", at)
	}
	if got, want := namesOf(s), "part/z part-2/z-2 part-3/z-3"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	// What is changed in one part is written there and nowhere else.
	s.ChangePart(1, func(p *Setup) {
		p.MovePart([2]float64{150, 90})
		p.TakeZones(&Zone{Name: "z", Field: &Field{Kind: KindLevel}})
	})
	if got := *s.Parts[1].Part.Seat; got != [2]float64{150, 90} {
		t.Errorf("the second part is seated at %v", got)
	}
	if got, want := namesOf(s), "part/z part-2/z-2 part-3/z-3"; got != want {
		t.Errorf("after other zones: %s, want %s", got, want)
	}
	if *s.Part.Seat != *one.Part.Seat || *s.Parts[2].Part.Seat != [2]float64{200, 100} {
		t.Error("another part moved with it")
	}
	s.SwapParts(0, 1)
	if got, want := namesOf(s), "part-2/z-2 part/z part-3/z-3"; got != want {
		t.Errorf("swapped: %s, want %s", got, want)
	}
	if *s.Part.Seat != [2]float64{150, 90} {
		t.Error("Part doesn't show the first of the parts")
	}
	s.RemovePart(0)
	s.RemovePart(1)
	if len(s.Parts) != 0 || s.Part.File != one.Part.File || s.Zones.Name != "z" {
		t.Errorf("one part is left as %q with %d parts", s.Zones.Name, len(s.Parts))
	}
	data, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(data, &keys); err != nil || keys["parts"] != nil || keys["part"] == nil {
		t.Errorf("a single part is written as parts: %v %s", err, data)
	}
}

func TestACloneOfSeveralPartsSharesNothing(t *testing.T) {
	s, err := severalJob(t, func(text string) string { return text })
	if err != nil {
		t.Fatal(err)
	}
	c := s.Clone()
	c.Zones.Field.Kind = KindRamp
	if s.Zones.Field.Kind != KindLevel || c.Parts[0].Zones.Field.Kind != KindRamp {
		t.Error("the clone's first part isn't its own, or isn't what Zones shows")
	}
}

func TestNamesOfPartsAreThoseAJobMayHave(t *testing.T) {
	for file, want := range map[string]string{
		"a b.stl": "a-b", "/dir/größe.stl": "gr--e", "???.stl": "part", ".stl": "part", strings.Repeat("x", 90) + ".obj": strings.Repeat("x", mostNumbered),
	} {
		if got := partName(filepath.FromSlash(file)); got != want || !zoneName.MatchString(got) {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
	taken := map[string]bool{"a": true, "a-2": true, "b-7": true}
	for name, want := range map[string]string{"c": "c", "a": "a-3", "a-2": "a-3", "b-7": "b-2"} {
		if got := freeOf(name, func(n string) bool { return taken[n] }); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// The seat is checked by the boxes' distance alone, not by how it was searched.
func TestAFreeSeatIsWithinTheTravelAndApart(t *testing.T) {
	s := newJob(t, "swivel-45", `{"name":"z","field":{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}}`)
	travel := s.Machine.Card.PartTravel()
	standing := []r3.Box{{Min: r3.Vec{X: 110, Y: 90}, Max: r3.Vec{X: 140, Y: 120, Z: 30}}}
	size := r3.Vec{X: 30, Y: 20, Z: 30}
	for range 4 {
		seat, ok := s.FreeSeat(size, standing)
		if !ok {
			break
		}
		box := r3.Box{Min: r3.Vec{X: seat[0] - size.X/2, Y: seat[1] - size.Y/2}, Max: r3.Vec{X: seat[0] + size.X/2, Y: seat[1] + size.Y/2, Z: 30}}
		if box.Min.X < travel.X[0]-0.06 || box.Max.X > travel.X[1]+0.06 || box.Min.Y < travel.Y[0]-0.06 || box.Max.Y > travel.Y[1]+0.06 {
			t.Errorf("the seat %v is outside the travel", seat)
		}
		for _, b := range standing {
			gap := max(box.Min.X-b.Max.X, b.Min.X-box.Max.X, box.Min.Y-b.Max.Y, b.Min.Y-box.Max.Y)
			if gap < leastApart-0.06 {
				t.Errorf("the seat %v stands %.2f mm from another part", seat, gap)
			}
		}
		standing = append(standing, box)
	}
	if len(standing) < 4 {
		t.Errorf("only %d parts find room", len(standing))
	}
	// At first there is room to stay out of the head's way. Its farthest point from
	// the tip, by the card's own numbers: 40 mm along the axis, 14 mm wide, leaning 45
	// degrees: 40 sin 45 + 14 cos 45 = 38.2 mm; the box begins 45 mm over the tip, more
	// than the parts are high.
	if s.Machine.Card.Name == "swivel-45" {
		seat, _ := s.FreeSeat(size, standing[:1])
		gap := max(seat[0]-15-140, 110-seat[0]-15, seat[1]-10-120, 90-seat[1]-10)
		if gap < 38 || gap > 45 {
			t.Errorf("the first seat is %.1f mm away", gap)
		}
	}
	if _, ok := s.FreeSeat(r3.Vec{X: 400, Y: 20}, nil); ok {
		t.Error("a part wider than the travel found room")
	}
}

func TestAFreeSeatKeepsOffObstacles(t *testing.T) {
	s := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`).Clone()
	x := s.Machine.Card.Travel.X
	y := s.Machine.Card.Travel.Y
	// All but a strip at the right is blocked.
	s.Machine.Card.Obstacles = []machine.Box{{Min: [3]float64{x[0], y[0], 0}, Max: [3]float64{x[1] - 60, y[1], 5}}}
	seat, ok := s.FreeSeat(r3.Vec{X: 20, Y: 20}, nil)
	if !ok || seat[0]-10 < x[1]-60 {
		t.Errorf("seat %v, %v", seat, ok)
	}
}

// A belt has no end: the search for a seat must have one.
func TestAFreeSeatIsFoundOnABeltToo(t *testing.T) {
	s := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`).Clone()
	s.Machine.Card.Travel.Y = machine.Endless()
	seat := *s.Part.Seat
	standing := []r3.Box{{Min: r3.Vec{X: -1000, Y: seat[1] - 10}, Max: r3.Vec{X: 1000, Y: seat[1] + 10, Z: 5}}}
	got, ok := s.FreeSeat(r3.Vec{X: 20, Y: 20, Z: 5}, standing)
	if !ok || max(got[1]-seat[1], seat[1]-got[1]) < 20 {
		t.Errorf("seat %v, %v beside a part across the belt at y %g", got, ok, seat[1])
	}
}

package job

import (
	"context"
	"strings"
	"testing"

	"conewright/geom/machine"
)

// remarksOf places the second of two parts so far from the first's right side and
// returns what is said, with what of it only may be.
func remarksOf(t *testing.T, gap float64, change func(*Setup)) string {
	t.Helper()
	s, err := severalJob(t, func(text string) string { return text })
	if err != nil {
		t.Fatal(err)
	}
	s = s.Clone()
	change(s)
	model, err := ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	left := model.Parts()[0].Mesh.Bounds()
	wide := left.Max.X - left.Min.X
	s.ChangePart(1, func(p *Setup) { p.MovePart([2]float64{left.Max.X + gap + wide/2, p.Part.Seat[1]}) })
	if model, err = ReadModel(context.Background(), s); model == nil {
		t.Fatal(err)
	}
	var said []string
	for _, r := range s.PlaceRemarks(model.Parts()) {
		text := s.Parts[r.Part].Name + ": " + r.Text.String()
		if r.May {
			text = "(" + text + ")"
		}
		said = append(said, text)
	}
	return strings.Join(said, "; ")
}

func TestWhereAPartStandsIsToldAtOnce(t *testing.T) {
	none := func(*Setup) {}
	// The reach of the card "straight" at the part's height comes from the card's own
	// numbers: its widest profile point or box corner that is lower than the part.
	if got := remarksOf(t, 100, none); got != "" {
		t.Errorf("100 mm apart: %s", got)
	}
	if got := remarksOf(t, 1, none); !strings.Contains(got, "(right: the head may meet part left while it prints part right, 1.0 mm beside it") {
		t.Errorf("1 mm apart: %s", got)
	}
	if got := remarksOf(t, -3, none); strings.Contains(got, "may meet") {
		t.Errorf("in one another: %s", got)
	}
	clip := func(s *Setup) {
		s.Machine.Card.Obstacles = []machine.Box{{Min: [3]float64{50, 90, 0}, Max: [3]float64{70, 110, 5}}}
	}
	if got := remarksOf(t, 100, clip); !strings.Contains(got, "left: the part stands in an obstacle") || strings.Contains(got, "right: ") {
		t.Errorf("on a clip: %s", got)
	}
	high := func(s *Setup) {
		s.Machine.Card.Obstacles = []machine.Box{{Min: [3]float64{50, 90, 150}, Max: [3]float64{70, 110, 160}}}
	}
	if got := remarksOf(t, 100, high); got != "" {
		t.Errorf("under a frame: %s", got)
	}
	if got := remarksOf(t, 200, none); !strings.Contains(got, "right: the part reaches from") {
		t.Errorf("beyond the travel: %s", got)
	}
}

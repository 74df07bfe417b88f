package settings

import (
	"testing"

	"conewright/geom/job"

	"github.com/google/go-cmp/cmp"
)

func TestAFilamentIsKeptUnderItsNameAndRemoved(t *testing.T) {
	dir := t.TempDir()
	mine := Filament{Name: "grey spool", Material: job.Material{NozzleTemp: 223, BedTemp: 62, Fan: 0.7, Density: 1.3}, Price: 31.5}
	s := Settings{}.WithFilament(mine)
	if err := s.Save(dir); err != nil {
		t.Fatal(err)
	}
	s = Load(dir)
	if got, ok := s.FilamentOf(mine.Material); !ok || got != mine || s.Filament != mine.Name {
		t.Errorf("it came back as %v, %v, chosen %q", got, ok, s.Filament)
	}
	dearer := mine
	dearer.Price = 40
	s = s.WithFilament(dearer)
	if d := cmp.Diff([]Filament{dearer}, s.Filaments); d != "" {
		t.Errorf("kept again: %s", d)
	}
	if n, first := len(s.AllFilaments()), len(FirstFilaments()); n != first+1 {
		t.Errorf("%d filaments, %d of a first start", n, first)
	}
	s = s.WithFilament(Filament{Name: "PLA", Material: mine.Material})
	if n, first := len(s.AllFilaments()), len(FirstFilaments()); n != first+1 {
		t.Errorf("%d filaments after one in the place of PLA", n)
	}
	if s = s.WithoutFilament("PLA").WithoutFilament("grey spool"); s.Filaments != nil {
		t.Errorf("%v are left", s.Filaments)
	}
	if got, ok := s.FilamentOf(mine.Material); ok {
		t.Errorf("the removed one is found as %v", got)
	}
}

func TestOfFilamentsWithTheSameValuesTheChosenCounts(t *testing.T) {
	pla := FirstFilaments()[0]
	a, b := pla, pla
	a.Name, a.Price, b.Name, b.Price = "a", 10, "b", 20
	s := Settings{}.WithFilament(a).WithFilament(b)
	for _, name := range []string{"a", "b", "PLA"} {
		s.Filament = name
		if got, _ := s.FilamentOf(pla.Material); got.Name != name {
			t.Errorf("chosen is %s, found %s", name, got.Name)
		}
	}
}

func TestFilamentsThatMakeNoSenseAreLeftOut(t *testing.T) {
	long := string(make([]byte, mostName+1))
	got := soundFilaments([]Filament{{}, {Name: long}, {Name: "a", Price: -1}, {Name: "b", Material: job.Material{Fan: -1}}, {Name: "c"}})
	if len(got) != 1 || got[0].Name != "c" {
		t.Errorf("%v", got)
	}
}

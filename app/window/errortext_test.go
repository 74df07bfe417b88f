package window

import (
	"testing"

	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/i18n"
)

func TestFindingsAndErrorsAreSaidInTheLanguage(t *testing.T) {
	defer i18n.Use("en")
	known := &mesh.ReadError{File: "a.stl", Fault: mesh.FaultEmpty, What: message.New("the file is empty"), Mend: message.New("export the part again")}
	strange := &mesh.ReadError{File: "a.3mf", Fault: mesh.FaultFormat, What: message.New("zip: no such luck"), Mend: message.New("export the part again")}
	found := &job.Finding{Text: "2 more collisions", Format: "%d more collisions", Args: []any{2}}
	for _, c := range []struct{ language, known, strange, found string }{
		{"en", known.Error(), strange.Error(), found.Text},
		{"de", "a.stl: die Datei ist leer; das Teil neu exportieren",
			"Die Datei des Teils hat nicht das Format, das ihr Name verspricht.\na.3mf: zip: no such luck; das Teil neu exportieren", "2 weitere Kollisionen"},
	} {
		if err := i18n.Use(c.language); err != nil {
			t.Fatal(err)
		}
		for _, pair := range [][2]string{
			{errorText(known), c.known}, {errorText(strange), c.strange}, {findingText(found), c.found},
		} {
			if pair[0] != pair[1] {
				t.Errorf("%s: %q, want %q", c.language, pair[0], pair[1])
			}
		}
	}
}

func TestSquareMillimetresAreRaised(t *testing.T) {
	text := "mm2.gcode: 12.5 mm2 lean out (level layers: 3 mm2), over 2 mm3/s"
	if got := raised(text); got != "mm2.gcode: 12.5 mm² lean out (level layers: 3 mm²), over 2 mm³/s" {
		t.Error(got)
	}
}

package i18n

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"testing"

	"conewright/geom/clearance"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/register"
	"conewright/geom/warp"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r3"
)

func sentencesIn(t *testing.T, tag string) map[string]string {
	t.Helper()
	m, err := Sentences(tag)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestEveryFindingAndErrorIsTranslated(t *testing.T) {
	says := geomSays(t)
	if len(says.findings) < 20 || len(says.errors) < 100 {
		t.Fatalf("only %d findings and %d errors found in the source: the search is broken", len(says.findings), len(says.errors))
	}
	for _, l := range Languages()[1:] {
		texts := sentencesIn(t, l.Tag)
		for _, said := range []saidThere{says.findings, says.errors} {
			for format, where := range said {
				if texts[format] == "" {
					t.Errorf("sentence/%s.json lacks %q (%s)", l.Tag, format, where)
				}
			}
		}
	}
}

func TestEveryFindingHasATitle(t *testing.T) {
	english := texts(t, "en")
	says := geomSays(t)
	if len(says.codes) < 15 {
		t.Fatalf("only %d codes found in the source: the search is broken", len(says.codes))
	}
	for code, where := range says.codes {
		if _, ok := english["finding."+code]; !ok {
			t.Errorf("the catalogue lacks finding.%s (%s)", code, where)
		}
	}
}

var numbered = regexp.MustCompile(`\{\d+\}`)

func TestSentencesAgreeAcrossLanguages(t *testing.T) {
	german := sentencesIn(t, "de")
	for _, l := range Languages()[1:] {
		texts := sentencesIn(t, l.Tag)
		for format, text := range texts {
			if german[format] == "" {
				t.Errorf("%s: %q isn't in German", l.Tag, format)
			}
			var want []string
			for i := range verbs(format) {
				want = append(want, fmt.Sprintf("{%d}", i+1))
			}
			have := numbered.FindAllString(text, -1)
			slices.Sort(want)
			slices.Sort(have)
			if d := cmp.Diff(want, have); d != "" {
				t.Errorf("%s: places of %q: %s", l.Tag, format, d)
			}
		}
		if len(texts) != len(german) {
			t.Errorf("%s has %d sentences, German %d", l.Tag, len(texts), len(german))
		}
	}
}

// Errors and findings as geom makes them, not as this test would like them.
func TestWhatGeomSaysIsPutIntoTheLanguage(t *testing.T) {
	defer Use("en")
	if err := Use("de"); err != nil {
		t.Fatal(err)
	}
	_, _, gone := mesh.ReadFile(t.Context(), "gone.stl", mesh.ReadOptions{})
	_, job1 := job.Parse([]byte(`{"conewright": 1, "part": {"file": "a.stl"}, "shell": 9}`), ".")
	hit := clearance.Collision{Line: 7, DeepLine: 9, Moves: 3, Depth: 0.25, Target: clearance.Bed}
	unfit := &register.Mismatch{Why: message.New("the outline is off even in the best fit"), Deviation: 1.5, Line: 9,
		FileSize: r3.Vec{X: 1, Y: 2, Z: 3}, PartSize: r3.Vec{X: 4, Y: 5, Z: 6}}
	for _, c := range []struct{ got, want string }{
		{Error(gone), "gone.stl: diese Datei gibt es nicht; den Pfad prüfen"},
		{Error(job1), "shell: 9 liegt außerhalb der Grenzen: eine Zahl von 0,02 bis 5 angeben"},
		{Sentence(mesh.Mending{Holes: 2, Filled: 12}.Message()), "2 Löcher geschlossen, 12 Facetten ergänzt"},
		{say("%s", hit.Message()), "Zeile 9: der Kopf (Düsenprofil, Kegel 1) trifft das Bett, 0,25 mm tief bei x 0,0 y 0,0 z 0,0; Bewegungen: 3, die erste in Zeile 7"},
		{say("%s: %s", "own.gcode", unfit), "own.gcode: die Bewegungsdatei passt nicht zum verzerrten Netz: der Umriss stimmt auch in der besten Lage nicht; " +
			"eine Raupe liegt 1,50 mm neben dem Teil bei x 0,00 y 0,00 z 0,00 (Zeile 9); 0,3 mm sind erlaubt; die Raupen der Datei messen 1,0 × 2,0 × 3,0 mm, das Netz 4,0 × 5,0 × 6,0 mm; " +
			"das verzerrte Netz schneiden, wie es ist: nicht gedreht, gespiegelt oder skaliert, und allein, ohne Stützen, Schutzwände oder Türme"},
		{say("%s: the job has no zone", "missing"), "missing: the job has no zone"},
		{say("%d more collisions", 4), "4 weitere Kollisionen"},
		{say("line %d of the brought file, %q: %s", 3, []byte("G92 A0"), message.New("G92 of the swivel")), `Zeile 3 der mitgebrachten Datei, "G92 A0": G92 der Drehachse`},
		{say("nobody knows %g %% of this", 0.5), "nobody knows 0,5 % of this"},
		{Error(errors.New("100 % unknown: either; or")), "100 % unknown: either; or"},
	} {
		if d := cmp.Diff(c.want, c.got); d != "" {
			t.Error(d)
		}
	}
}

// say says a sentence made here.
func say(format string, args ...any) string { return Sentence(message.New(format, args...)) }

func TestEnglishStaysAsItIs(t *testing.T) {
	if got := say("%.1f mm2 in %s", 1.25, "part"); got != "1.2 mm2 in part" {
		t.Error(got)
	}
}

// A job's part can't be warped or planned: the reason comes through two packages.
func TestErrorsThatArePassedOnAreTranslatedWhole(t *testing.T) {
	defer Use("en")
	if err := Use("de"); err != nil {
		t.Fatal(err)
	}
	fine := message.Errorf("more than %d facets would be needed: take a larger tolerance: %s", 7, warp.ErrTooFine)
	err := &job.InputError{Where: message.New("zone %s", "cap"), What: message.New("%s", message.Of(message.Errorf("refining %d facets: %s", 5, fine))), Mend: message.New("check the path")}
	want := "Zone cap: beim Verfeinern von 5 Facetten: mehr als 7 Facetten wären nötig: größere Toleranz wählen: die Toleranz ist zu fein für das Teil: den Pfad prüfen"
	if got := Error(err); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

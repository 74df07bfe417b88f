package i18n

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/clearance"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/register"

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
	hit := clearance.Collision{Line: 7, Moves: 3, Depth: 0.25, Target: clearance.Bed}
	unfit := &register.Mismatch{Why: "the outline is off even in the best fit", Deviation: 1.5, Line: 9,
		FileSize: r3.Vec{X: 1, Y: 2, Z: 3}, PartSize: r3.Vec{X: 4, Y: 5, Z: 6}}
	for _, c := range []struct{ got, want string }{
		{Phrase(gone.Error()), "gone.stl: diese Datei gibt es nicht; den Pfad prüfen"},
		{Phrase(job1.Error()), "shell: 9 liegt außerhalb der Grenzen: eine Zahl von 0,02 bis 5 angeben"},
		{Phrase(mesh.Mending{Holes: 2, Filled: 12}.String()), "2 Löcher geschlossen, 12 Facetten ergänzt"},
		{Sentence("%s", hit.String()), "Zeile 7: der Kopf (Düsenprofil, Kegel 1) trifft das Bett, 0,25 mm tief bei x 0,0 y 0,0 z 0,0; Bewegungen: 3"},
		{Sentence("%s: %s", "own.gcode", unfit.Error()), "own.gcode: die Bewegungsdatei passt nicht zum verzerrten Netz: der Umriss stimmt auch in der besten Lage nicht; " +
			"eine Raupe liegt 1,50 mm neben dem Teil bei x 0,00 y 0,00 z 0,00 (Zeile 9); 0,3 mm sind erlaubt; die Raupen der Datei messen 1,0 × 2,0 × 3,0 mm, das Netz 4,0 × 5,0 × 6,0 mm; " +
			"das verzerrte Netz schneiden, wie es ist: nicht gedreht, gespiegelt oder skaliert, und allein, ohne Stützen, Schutzwände oder Türme"},
		{Sentence("%d more collisions", 4), "4 weitere Kollisionen"},
		{Sentence("line %d of the brought file, %q: %s", 3, []byte("G92 A0"), "G92 of the swivel"), `Zeile 3 der mitgebrachten Datei, "G92 A0": G92 der Schwenkachse`},
		{Sentence("nobody knows %g of this", 0.5), "nobody knows 0.5 of this"},
		{Phrase(errors.New("nobody knows this: either; or").Error()), "nobody knows this: either; or"},
	} {
		if d := cmp.Diff(c.want, c.got); d != "" {
			t.Error(d)
		}
	}
}

// A sentence that was written is known again as what it was, though many begin
// alike.
func TestEverySentenceIsKnownAgain(t *testing.T) {
	defer Use("en")
	samples := map[byte]any{'d': 7, 'g': 2.5, 'f': 1.25, 'e': 1e9, 's': "abc", 'v': "abc", 'w': errors.New("abc"), 'q': "a\"b", 'c': 'X'}
	for _, l := range Languages()[1:] {
		if err := Use(l.Tag); err != nil {
			t.Fatal(err)
		}
		for format := range said.texts {
			var args []any
			for _, v := range verbs(format) {
				args = append(args, samples[v[len(v)-1]])
			}
			english := fmt.Errorf(format, args...).Error() // which knows %w too
			want := fill(said.texts[format], parts(format, args))
			if got := Phrase(english); got != want {
				t.Errorf("%s: %q became %q, want %q", l.Tag, english, got, want)
			}
		}
	}
}

// parts writes arguments by a format's verbs.
func parts(format string, args []any) []string {
	var list []string
	for i, v := range verbs(format) {
		list = append(list, said.part(v, fmt.Errorf(v, args[i]).Error(), 0))
	}
	return list
}

func TestEnglishStaysAsItIs(t *testing.T) {
	if got := Sentence("%.1f mm2 in %s", 1.25, "part"); got != "1.2 mm2 in part" {
		t.Error(got)
	}
	if got := Phrase("check the path"); got != "check the path" {
		t.Error(got)
	}
}

func FuzzPhrase(f *testing.F) {
	for _, s := range []string{"", "a: b; c, d", "line 3 of the brought file, \"x\": y", "%d {1} {{.n}}", "1e9 is out of bounds", "\xff"} {
		f.Add(s)
	}
	if err := Use("de"); err != nil {
		f.Fatal(err)
	}
	defer Use("en")
	f.Fuzz(func(t *testing.T, text string) {
		if got := Phrase(text); got == "" && text != "" {
			t.Errorf("%q is lost", text)
		}
	})
}

// passedOn are errors of packages under geom/job that it passes on and that a
// job can meet, by where they stand. The other errors there are faults of the
// program.
var passedOn = map[string][]string{
	"planner": {
		"planner: nothing in the mesh is wide enough for a bead",
		"planner: the mesh (%d vertices) is lower than half a layer of %.3f mm: thin the layers",
		"planner: %.0f layers are more than %d: thicken the layers",
		"planner: skirt: nothing stands on the bed",
	},
	"suggest": {"suggest: no field can be judged on this part"},
	"warp":    {"more than %d facets would be needed: take a larger tolerance: %w", "the tolerance is too fine for the part"},
}

// These errors come wrapped: "zone cap: planner: ...: use other numbers". All
// but the zone's name is said in the language.
func TestErrorsThatArePassedOnAreTranslatedWhole(t *testing.T) {
	defer Use("en")
	for pkg, formats := range passedOn {
		source := sourceOf(t, filepath.Join("..", "geom", pkg))
		for _, format := range formats {
			if !strings.Contains(source, strconv.Quote(format)) {
				t.Errorf("geom/%s doesn't say %q any more", pkg, format)
				continue
			}
			args := []any{7, 0.25}[:strings.Count(format, "%.3f")+strings.Count(format, "%d")]
			switch {
			case strings.Contains(format, "%.0f"):
				args = []any{7.0, 9}
			case strings.Contains(format, "%w"):
				args = []any{7, errors.New("the tolerance is too fine for the part")}
			}
			err := &job.InputError{Where: "zone cap", What: fmt.Errorf(format, args...).Error(), Mend: "use other numbers for shell, bead or planner"}
			for _, l := range Languages()[1:] {
				if err := Use(l.Tag); err != nil {
					t.Fatal(err)
				}
				text := Phrase(err.Error())
				for _, word := range english.FindAllString(text, -1) {
					t.Errorf("%s: %q is left in %q", l.Tag, word, text)
				}
			}
		}
	}
}

// english are words that no other language here writes so.
var english = regexp.MustCompile(`\b(zone: |the|planner|suggest|layers|facets|bead|take|thin|than|nothing|part|field)\b`)

// sourceOf joins the Go files of a folder, tests apart.
func sourceOf(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".go") && !strings.HasSuffix(e.Name(), "_test.go") {
			data, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			all.Write(data)
		}
	}
	return all.String()
}

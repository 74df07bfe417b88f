package lessons

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/app/pictures"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// usualSheet draws a setup as the window does.
func usualSheet(s *job.Setup) (render.Input, error) {
	scene, err := pictures.Judged(context.Background(), s)
	return scene.Input(), err
}

// TestWorksheetsStayWithinTheirMargins in every language: 20 mm at the left, 10 mm
// elsewhere (ISO 5457, from memory), and no words on others.
func TestWorksheetsStayWithinTheirMargins(t *testing.T) {
	defer i18n.Use("en")
	dir := t.TempDir()
	inputs := map[string]render.Input{}
	for _, lang := range i18n.Languages() {
		if err := i18n.Use(lang.Tag); err != nil {
			t.Fatal(err)
		}
		for _, l := range All() {
			in, ok := inputs[l.Key]
			if !ok {
				s, err := l.setup(dir, false)
				if err == nil {
					in, err = usualSheet(s)
				}
				if err != nil {
					t.Fatal(err)
				}
				inputs[l.Key] = in
			}
			within(t, lang.Tag+" "+l.Key, l.worksheet(in))
		}
		for i, p := range teachersKey(All()) {
			within(t, lang.Tag+" key "+i18n.Integer(i+1), p)
		}
	}
}

func within(t *testing.T, name string, d *drawing.Drawing) {
	t.Helper()
	if d.Size != (r2.Vec{X: 210, Y: 297}) {
		t.Errorf("%s: a page of %v", name, d.Size)
	}
	inside := func(p r2.Vec) bool {
		const rounding = 0.01
		return p.X >= 20-rounding && p.X <= 200+rounding && p.Y >= 10-rounding && p.Y <= 287+rounding
	}
	for _, l := range d.Lines {
		for _, p := range l.Points {
			if !inside(p) {
				t.Errorf("%s: a line of %v at %v", name, l.Pen, p)
				return
			}
		}
	}
	rows := map[float64][]drawing.Text{}
	for _, x := range d.Texts {
		if x.Role != drawing.Value || x.Size < smallLetters || x.Anchor != drawing.Start {
			continue // of the sheet
		}
		if end := x.At.X + lettering.Width(x.Words, x.Size); !inside(x.At) || end > 200.01 {
			t.Errorf("%s: %q runs from %v to %g", name, x.Words, x.At, end)
		}
		for _, other := range rows[x.At.Y] {
			if x.At.X < other.At.X+lettering.Width(other.Words, other.Size) && other.At.X <= x.At.X {
				t.Errorf("%s: %q lies on %q", name, x.Words, other.Words)
			}
		}
		rows[x.At.Y] = append(rows[x.At.Y], x)
	}
}

func TestAWorksheetAsksAndTheKeyAnswers(t *testing.T) {
	l := *at("square")
	s, err := l.setup(t.TempDir(), false)
	if err != nil {
		t.Fatal(err)
	}
	in, err := usualSheet(s)
	if err != nil {
		t.Fatal(err)
	}
	all := func(pages ...*drawing.Drawing) string {
		var words []string
		for _, d := range pages {
			for _, x := range d.Texts {
				words = append(words, x.Words)
			}
		}
		return strings.Join(words, " ")
	}
	sheet, key := all(l.worksheet(in)), all(teachersKey([]Lesson{l})...)
	for _, part := range []string{"came", "solved"} {
		if strings.Contains(sheet, l.words(part)) || !strings.Contains(key, l.words(part)) {
			t.Errorf("%s: on the sheet or not in the key", part)
		}
	}
	for _, part := range []string{"ask", "task"} {
		if !strings.Contains(sheet, l.words(part)) {
			t.Errorf("%s isn't on the sheet", part)
		}
	}
}

func TestWorksheetsAreOneDocument(t *testing.T) {
	data, err := Worksheets(All()[:2], t.TempDir(), usualSheet)
	if err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) || bytes.Count(data, []byte("/Type /Page\n")) != 3 {
		t.Errorf("%d bytes, %d pages, %v", len(data), bytes.Count(data, []byte("/Type /Page\n")), err)
	}
	if dir := os.Getenv("LESSON_PICTURES"); dir != "" { // to be looked at
		all, err := Worksheets(All(), t.TempDir(), usualSheet)
		if err != nil {
			t.Fatal(err)
		}
		_ = os.WriteFile(filepath.Join(dir, "worksheets.pdf"), all, 0o644)
	}
}

package lessons

import (
	"strings"
	"testing"

	"conewright/i18n"
	"conewright/render/lettering"
)

func TestEveryLessonHasItsTextsAndAJob(t *testing.T) {
	dir := t.TempDir()
	defer i18n.Use("en")
	for _, lang := range i18n.Languages() {
		if err := i18n.Use(lang.Tag); err != nil {
			t.Fatal(err)
		}
		for _, l := range All() {
			for _, part := range []string{".title", ".ask", ".a", ".b", ".c", ".came", ".task", ".solved"} {
				if key := "lesson." + l.Key + part; i18n.T(key) == key {
					t.Errorf("%s: %s is missing", lang.Tag, key)
				}
			}
		}
	}
	for _, l := range All() {
		for _, changed := range []bool{false, true} {
			s, err := l.setup(dir, changed)
			if err == nil {
				err = s.Check()
			}
			if err != nil {
				t.Errorf("%s: %v", l.Key, err)
			}
		}
	}
}

func TestEveryAngleOfTheSliderIsAPlanThatHolds(t *testing.T) {
	l := All()[0]
	s, err := l.setup(t.TempDir(), true)
	if err != nil {
		t.Fatal(err)
	}
	for angle := 0.0; angle <= mostAngle; angle++ {
		setAngle(angle)(s)
		if err := s.Check(); err != nil {
			t.Errorf("%g degrees: %v", angle, err)
		}
	}
}

func TestTextsOfAHandoutStayOnThePaper(t *testing.T) {
	const room = 60
	for _, words := range []string{"", "one", strings.Repeat("a bead needs something under it ", 9), strings.Repeat("層", 99)} {
		lines := wrap(words, letters, room)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(words, " ", "") {
			t.Errorf("%q became %q", words, got)
		}
		for _, line := range lines {
			if w := lettering.Width(line, letters); w > room {
				t.Errorf("%q runs %g mm", line, w)
			}
		}
	}
}

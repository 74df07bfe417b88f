package window

import (
	"conewright/app/lessons"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"conewright/i18n"
	"conewright/render"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
)

// words lists the lines of text that an object shows, whatever draws them.
func words(o fyne.CanvasObject) map[string]bool {
	found := map[string]bool{}
	for _, laid := range test.LaidOutObjects(o) {
		if text, ok := laid.(*canvas.Text); ok && text.Visible() {
			found[strings.TrimSpace(text.Text)] = true
		}
	}
	return found
}

// everywhere goes through all that the window can show of an open part.
func (b *bench) everywhere() map[string]bool {
	all := map[string]bool{}
	add := func(o fyne.CanvasObject) {
		for text := range words(o) {
			all[text] = true
		}
	}
	b.shells.unfold(true)
	b.own.on = true
	for _, p := range b.route.pages {
		b.route.show(p)
		add(b.win.Content())
	}
	for _, p := range b.pane.papers {
		b.pane.lay(p.key)
		add(b.win.Content())
	}
	b.pane.lay("")
	for _, menu := range b.menu.main.Items {
		all[menu.Label] = true
		for _, item := range menu.Items {
			if item.ChildMenu != b.menu.recent.ChildMenu || item == b.menu.recent {
				all[item.Label] = true
			}
		}
	}
	b.course.begin()
	for i := range lessons.All() {
		b.course.panel.Open(i)
		for range 3 {
			b.judged()
			add(b.win.Content())
			if b.course.panel.Step() != lessons.Exercise {
				b.course.panel.Forward()
			}
		}
	}
	b.course.end()
	return all
}

func TestTheSheetHasAllItsWordsInTheLanguage(t *testing.T) {
	defer i18n.Use("en")
	if err := i18n.Use("pl"); err != nil {
		t.Fatal(err)
	}
	got, english := reflect.ValueOf(*sheetTexts()), reflect.ValueOf(render.English)
	for i := range got.NumField() {
		name, text := got.Type().Field(i).Name, got.Field(i).String()
		if text == "" || text == english.Field(i).String() && name != "Program" {
			t.Errorf("%s is %q", name, text)
		}
	}
}

var wordy = regexp.MustCompile(`\p{L}{4}`)

// What reads the same in Polish as in English has not been translated, file
// names and the like apart.
func TestNothingOnScreenStaysEnglish(t *testing.T) {
	if testing.Short() {
		t.Skip("goes through everything twice")
	}
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	b.judged()
	english := b.everywhere()
	if len(english) < 150 {
		t.Fatalf("only %d texts were found: the search is broken", len(english))
	}
	defer i18n.Use("en")
	b.setLanguage("pl")
	texts, err := i18n.Texts("pl")
	if err != nil {
		t.Fatal(err)
	}
	same := map[string]bool{}
	for _, text := range texts {
		same[fmt.Sprint(text)] = true
	}
	// Names of zones in files, and of a card.
	names := map[string]bool{"part": true, "stem": true, "flange": true, "left": true, "straight": true}
	for text := range b.everywhere() {
		for _, name := range []string{"spindle", "swivel-45", ".stl", "Conewright", "zone-2", "warped/", "M1", "{nozzle_temp}", "{bed_temp}"} {
			text = strings.ReplaceAll(text, name, "")
		}
		if names[text] {
			continue
		}
		if english[text] && wordy.MatchString(text) && !same[text] {
			t.Errorf("%q", text)
		}
	}
}

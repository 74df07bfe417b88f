package settings

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestSettingsComeBackAsTheyWereSaved(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there", "yet")
	want := Settings{Language: "de", Width: 1280, Height: 800}.WithAgreed("card")
	if err := want.Save(dir); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, Load(dir)); d != "" {
		t.Error(d)
	}
}

func TestDamagedSettingsAreAFirstStart(t *testing.T) {
	for _, text := range []string{"", "{", "[]", `{"width": "wide"}`} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(Settings{}, Load(dir)); d != "" {
			t.Errorf("%q: %s", text, d)
		}
	}
}

func TestRecentFilesAreNewestFirstEachOnceAndFew(t *testing.T) {
	var s Settings
	for i := range maxRecent + 3 {
		s = s.WithRecent(fmt.Sprintf("/part-%d.stl", i))
	}
	s = s.WithRecent("/part-5.stl")
	if len(s.Recent) != maxRecent || s.Recent[0] != "/part-5.stl" || s.Recent[1] != fmt.Sprintf("/part-%d.stl", maxRecent+2) {
		t.Errorf("%q", s.Recent)
	}
	for i, p := range s.Recent[1:] {
		if p == "/part-5.stl" {
			t.Errorf("twice, again at %d: %q", i+1, s.Recent)
		}
	}
}

func TestAnOlderSettingsValueStaysAsItWas(t *testing.T) {
	old := Settings{}.WithRecent("/a.stl")
	_ = old.WithRecent("/b.stl")
	if d := cmp.Diff([]string{"/a.stl"}, old.Recent); d != "" {
		t.Error(d)
	}
}

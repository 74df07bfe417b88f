package window

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

func TestWhatADialogLeavesBehind(t *testing.T) {
	fail := errors.New("full")
	for _, c := range []struct {
		name, chosen string
		there        map[string]string // before; "" is the dialog's empty one
		fails        bool
		want         map[string]string
		taken        bool
	}{
		{"written", "a.svg", map[string]string{"a.svg": ""}, false, map[string]string{"a.svg": "new"}, false},
		{"other letters", "a.SVG", map[string]string{"a.SVG": ""}, false, map[string]string{"a.SVG": "new"}, false},
		{"no ending", "a", map[string]string{"a": ""}, false, map[string]string{"a.svg": "new"}, false},
		{"another ending", "a.x", map[string]string{"a.x": ""}, false, map[string]string{"a.x.svg": "new"}, false},
		{"no ending, taken", "a", map[string]string{"a": "", "a.svg": "old"}, false, map[string]string{"a.svg": "old"}, true},
		{"fails", "a.svg", map[string]string{"a.svg": ""}, true, map[string]string{}, false},
		{"fails over another's", "a.svg", map[string]string{"a.svg": "old"}, true, map[string]string{"a.svg": "old"}, false},
	} {
		dir := t.TempDir()
		for name, text := range c.there {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		err := writeChosen(filepath.Join(dir, c.chosen), ".svg", func(path string) error {
			if c.fails {
				return fail
			}
			return writeWhole(path, []byte("new"))
		})
		var taken takenError
		if errors.As(err, &taken) != c.taken || errors.Is(err, fail) != c.fails || err != nil && !c.taken && !c.fails {
			t.Errorf("%s: %v", c.name, err)
		}
		entries, _ := os.ReadDir(dir)
		got := map[string]string{}
		for _, e := range entries {
			data, _ := os.ReadFile(filepath.Join(dir, e.Name()))
			got[e.Name()] = string(data)
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: left %v", c.name, got)
		}
		for name, text := range c.want {
			if got[name] != text {
				t.Errorf("%s: %s holds %q", c.name, name, got[name])
			}
		}
	}
}

func TestNothingIsSavedAmongTheSettingsUnasked(t *testing.T) {
	b := newBench(t)
	b.openDemo()
	if home, err := os.UserHomeDir(); err == nil && b.filesDir() != home {
		t.Errorf("with the demo part alone, files go to %s", b.filesDir())
	}
	b.openPart()
	own := b.filesDir()
	if own != filepath.Dir(b.session.Setup().PartPath()) {
		t.Errorf("beside an own part files go to %s", own)
	}
	b.openDemo()
	if b.filesDir() != own {
		t.Errorf("with the demo part after an own one, files go to %s", b.filesDir())
	}
}

func TestEscapeAndReturnEndAFileDialog(t *testing.T) {
	b := newBench(t)
	c := b.win.Canvas()
	key := func(name fyne.KeyName) {
		t.Helper()
		if c.OnTypedKey() == nil {
			t.Fatal("nobody listens to keys")
		}
		c.OnTypedKey()(&fyne.KeyEvent{Name: name})
	}
	before := reflect.ValueOf(c.OnTypedKey()).Pointer()
	b.askOpen()
	key(fyne.KeyReturn) // nothing is chosen yet
	if !b.asking {
		t.Fatal("Return closes a dialog in which nothing is chosen")
	}
	key(fyne.KeyEscape)
	if after := reflect.ValueOf(c.OnTypedKey()).Pointer(); b.asking || c.Overlays().Top() != nil || after != before {
		t.Fatalf("after Escape a dialog is open: %v, it listens to keys: %v", b.asking, after != before)
	}
	b.askOpen()
	open := findButton(c.Overlays().Top(), "Open")
	if open == nil {
		t.Fatal("no button opens the file")
	}
	pressed := 0
	open.OnTapped = func() { pressed++ }
	open.Enable()
	key(fyne.KeyReturn)
	if pressed != 1 {
		t.Errorf("Return opens %d times", pressed)
	}
	key(fyne.KeyEscape)
}

// The toolkit's own entry of a save dialog does nothing on Escape.
func TestEscapeEndsASaveDialogWhileItsNameIsWritten(t *testing.T) {
	b := newBench(t)
	c := b.win.Canvas()
	written := ""
	ask := func() *fileName {
		t.Helper()
		b.askSaveIn(b.dir, "t", "part.gcode", func(path string) error { written = path; return nil })
		name, ok := c.Focused().(*fileName)
		if !ok || name.Text != "part.gcode" {
			t.Fatalf("a %T has the focus", c.Focused())
		}
		return name
	}
	ask().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if b.asking || c.Overlays().Top() != nil || written != "" {
		t.Fatal("Escape doesn't close the dialog")
	}
	name := ask()
	name.SetText("other.gcode")
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if want := filepath.Join(b.dir, "other.gcode"); written != want || b.asking {
		t.Errorf("written to %q, want %q", written, want)
	}
	name = ask()
	name.own.SetText("chosen.gcode") // as a click on a file does
	if name.Text != "chosen.gcode" {
		t.Errorf("a file was chosen, the name is %q", name.Text)
	}
	b.win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
}

// The toolkit's question whether to overwrite a file is asked in the window's language
// and answered by keys.
func TestOverwritingIsAskedInTheLanguageOfTheWindow(t *testing.T) {
	b := newBench(t)
	b.setLanguage("de")
	c := b.win.Canvas()
	taken := filepath.Join(b.dir, "taken.gcode")
	if err := os.WriteFile(taken, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	written := 0
	ask := func(answer fyne.KeyName) {
		t.Helper()
		b.askSaveIn(b.dir, "t", "taken.gcode", func(string) error { written++; return nil })
		dialog := c.Overlays().Top()
		c.Focused().(*fileName).TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		question := c.Overlays().Top()
		if question == dialog {
			t.Fatal("nothing is asked")
		}
		words := ""
		for _, l := range labelsIn(question) {
			words += l.Text + "\n"
		}
		if strings.Contains(words, "verwrite") || !strings.Contains(words, "taken.gcode") || !strings.Contains(words, "berschreiben") {
			t.Errorf("asked as %q", words)
		}
		c.OnTypedKey()(&fyne.KeyEvent{Name: answer})
	}
	ask(fyne.KeyEscape)
	if written != 0 || !b.asking || c.Overlays().Top() == nil {
		t.Fatalf("after no: written %d times, the dialog is open: %v", written, b.asking)
	}
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if b.asking || c.Overlays().Top() != nil {
		t.Fatal("a second Escape doesn't close the dialog")
	}
	ask(fyne.KeyReturn)
	if written != 1 || b.asking {
		t.Errorf("after yes: written %d times, the dialog is open: %v", written, b.asking)
	}
}

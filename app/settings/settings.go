// Package settings keeps what the program remembers between starts: recent
// files, language, window size, own machines, filaments and presets, cards whose
// cautions were read. They lie in a file of their own that is always whole.
package settings

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"

	"conewright/geom/message"

	"github.com/adrg/xdg"
	"github.com/natefinch/atomic"
)

// maxRecent bounds the list of recent files, maxAgreed that of cards.
const (
	maxRecent = 8
	maxCards  = 20
	maxAgreed = 200
	maxSolved = 100
	maxBytes  = 1 << 20
)

// Settings are plain data; the zero value is a first start.
type Settings struct {
	Language  string     `json:"language,omitempty"`  // "": the system's
	Recent    []string   `json:"recent,omitempty"`    // newest first
	Agreed    []string   `json:"agreed,omitempty"`    // hashes of machine cards
	Machines  []string   `json:"machines,omitempty"`  // files of the user's own cards, newest first
	Machine   string     `json:"machine,omitempty"`   // of the next part: a built-in card's name, or one of Machines
	Filaments []Filament `json:"filaments,omitempty"` // the user's own, newest first
	Filament  string     `json:"filament,omitempty"`  // name of that of the next part
	Presets   []Preset   `json:"presets,omitempty"`   // the user's own, newest first
	Preset    string     `json:"preset,omitempty"`    // name of that of the next part
	Carried   string     `json:"carried,omitempty"`   // folder to which a motion file was last taken for the machine
	Short     []string   `json:"short,omitempty"`     // names of cards whose controllers read file names of 8 and 3 letters alone
	Width     float32    `json:"width,omitempty"`     // of the window
	Height    float32    `json:"height,omitempty"`
	Look      string     `json:"look,omitempty"`      // "": the system's | light | dark
	TextSize  string     `json:"text_size,omitempty"` // "": normal | small | large | largest
	Contrast  bool       `json:"contrast,omitempty"`  // black and white, without greys
	Lesson    string     `json:"lesson,omitempty"`    // key of the one that was open last
	Solved    []string   `json:"solved,omitempty"`    // keys of lessons whose exercise was solved
}

// Dir returns the folder for settings and autosave.
func Dir() string { return filepath.Join(xdg.ConfigHome, "conewright") }

const name = "settings.json"

// read reads a file that may have grown beyond all bounds, no further than tells
// so.
func read(path string) ([]byte, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, maxBytes+1))
}

// Load reads the settings of a folder. Where there are none, or none that make
// sense, it returns a first start's: losing them is no reason not to start.
func Load(dir string) Settings {
	var s Settings
	data, err := read(filepath.Join(dir, name))
	if err != nil || len(data) > maxBytes || json.Unmarshal(data, &s) != nil {
		return Settings{}
	}
	s.Recent = bounded(s.Recent, maxRecent)
	s.Agreed = bounded(s.Agreed, maxAgreed)
	s.Machines = bounded(s.Machines, maxCards)
	s.Solved = bounded(s.Solved, maxSolved)
	s.Short = bounded(s.Short, maxCards)
	s.Filaments, s.Presets = soundFilaments(s.Filaments), soundPresets(s.Presets)
	if !(s.Width >= 400 && s.Width <= 20000 && s.Height >= 300 && s.Height <= 20000) {
		s.Width, s.Height = 0, 0
	}
	return s
}

// Save writes the settings into a folder, which is made if missing.
func (s Settings) Save(dir string) error {
	data, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return message.Errorf("settings: %w", err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return message.Errorf("settings can't be kept: %w", err)
	}
	if err := atomic.WriteFile(filepath.Join(dir, name), bytes.NewReader(data)); err != nil {
		return message.Errorf("settings can't be kept: %w", err)
	}
	return nil
}

// WithRecent returns the settings with a file at the top of the recent ones.
func (s Settings) WithRecent(path string) Settings {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	s.Recent = bounded(first(path, s.Recent), maxRecent)
	return s
}

// WithoutRecent returns the settings without a file among the recent ones.
func (s Settings) WithoutRecent(path string) Settings {
	s.Recent = slices.DeleteFunc(slices.Clone(s.Recent), func(p string) bool { return p == path })
	return s
}

// WithAgreed returns the settings with a machine card whose cautions were read.
func (s Settings) WithAgreed(card string) Settings {
	s.Agreed = bounded(first(card, s.Agreed), maxAgreed)
	return s
}

// WithCard returns the settings with a card's file among the user's own
// machines; it is the next part's.
func (s Settings) WithCard(path string) Settings {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	s.Machines = bounded(first(path, s.Machines), maxCards)
	s.Machine = path
	return s
}

// ShortNames reports whether the controller of a card of that name reads file names of
// 8 and 3 letters alone. Cards have no place for it: it is no matter to a run.
func (s Settings) ShortNames(card string) bool { return slices.Contains(s.Short, card) }

// WithShortNames returns settings with that said of a card, or taken back.
func (s Settings) WithShortNames(card string, short bool) Settings {
	s.Short = slices.DeleteFunc(slices.Clone(s.Short), func(name string) bool { return name == card })
	if short {
		s.Short = bounded(first(card, s.Short), maxCards)
	}
	return s
}

// first returns list with item at its head, once.
func first(item string, list []string) []string {
	out := []string{item}
	for _, l := range list {
		if l != item {
			out = append(out, l)
		}
	}
	return out
}

func bounded(list []string, most int) []string {
	return slices.Clone(list[:min(len(list), most)])
}

package settings

import "conewright/geom/job"

// Preset is a job's print settings under a name.
type Preset struct {
	Name string `json:"name"`
	job.PrintSettings
}

func (p Preset) name() string { return p.Name }

// FirstPresets are there on a first start: a new job's own settings, and thinner
// shells, which show less of themselves. Thicker ones than the usual would make the
// layers of a steep cone too high for a common nozzle.
func FirstPresets() []Preset {
	usual := job.Defaults()
	thin := usual.PrintSettings()
	thin.Shell = 0.15 // mm
	return []Preset{{Name: "0.20 mm", PrintSettings: usual.PrintSettings()}, {Name: "0.15 mm", PrintSettings: thin}}
}

// AllPresets lists the own presets, newest first, then those of a first start whose
// names aren't taken.
func (s Settings) AllPresets() []Preset { return withFirst(s.Presets, FirstPresets()) }

// OwnPreset returns the own preset of a name.
func (s Settings) OwnPreset(name string) (Preset, bool) { return ofName(s.Presets, name) }

// PresetOf returns the preset whose values a job holds: the chosen one where several
// have them. False: none has.
func (s Settings) PresetOf(p job.PrintSettings) (Preset, bool) {
	p.Planner.Foot = 0 // it belongs to the zones
	return ofValues(s.AllPresets(), s.Preset, func(q Preset) bool { return q.PrintSettings == p })
}

// PrintSettingsOfNext returns the settings of the next part; nil: nobody has chosen
// any.
func (s Settings) PrintSettingsOfNext() *job.PrintSettings {
	if p, ok := ofName(s.AllPresets(), s.Preset); ok {
		return &p.PrintSettings
	}
	return nil
}

// WithPreset returns the settings with a preset among the own ones, in the place of
// one of its name; it is the next part's. A name without letters changes nothing.
func (s Settings) WithPreset(p Preset) Settings {
	if p.Name = nameToKeep(p.Name); p.Name == "" {
		return s
	}
	p.Planner.Foot = 0
	s.Presets, s.Preset = withNamed(s.Presets, p), p.Name
	return s
}

// WithoutPreset returns the settings without the own preset of a name.
func (s Settings) WithoutPreset(name string) Settings {
	s.Presets = withoutNamed(s.Presets, name)
	return s
}

// soundPresets returns those of a list that a job could hold: one whose numbers are
// out of bounds is refused when it is chosen, as any number is.
func soundPresets(list []Preset) []Preset {
	return soundItems(list, func(p Preset) bool { return p.Shell > 0 && p.Bead > 0 })
}

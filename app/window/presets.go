package window

import (
	"slices"

	"conewright/app/settings"
	"conewright/geom/job"
	"conewright/i18n"
)

// newPresetRows choose, keep and remove presets of the page's settings.
func newPresetRows(w *Window) *keptRows {
	return newKeptRows(w, kept{
		ask: i18n.T("preset.ask"),
		names: func() []string {
			var names []string
			for _, p := range w.settings.AllPresets() {
				names = append(names, p.Name)
			}
			return names
		},
		of: func(s *job.Setup) string {
			p, _ := w.settings.PresetOf(s.PrintSettings())
			return p.Name
		},
		own: func(name string) bool {
			_, own := w.settings.OwnPreset(name)
			return own
		},
		choose: w.choosePreset,
		keep: func(s *job.Setup, name string) {
			w.usePreset(w.settings.WithPreset(settings.Preset{Name: name, PrintSettings: s.PrintSettings()}))
		},
		drop: func(name string) { w.usePreset(w.settings.WithoutPreset(name)) },
	})
}

// choosePreset takes a preset's values into the setup, and for parts to come where
// they make sense here.
func (w *Window) choosePreset(name string) {
	i := slices.IndexFunc(w.settings.AllPresets(), func(p settings.Preset) bool { return p.Name == name })
	if i < 0 {
		return
	}
	p := w.settings.AllPresets()[i]
	if err := w.session.Do("step.preset", func(s *job.Setup) { s.TakePrintSettings(p.PrintSettings) }); err != nil {
		w.tellNumber(err) // a zone may be too steep for it, say
		return
	}
	w.tellNumber(nil)
	next := w.settings
	next.Preset = name
	w.usePreset(next)
}

// usePreset remembers settings and gives their preset to the next part.
func (w *Window) usePreset(next settings.Settings) {
	w.remember(next)
	w.session.UsePrintSettings(next.PrintSettingsOfNext())
}

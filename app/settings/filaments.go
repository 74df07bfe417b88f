package settings

import (
	"math"

	"conewright/geom/job"
)

// Filament is a material under a name, with what it costs.
type Filament struct {
	Name         string  `json:"name"`
	job.Material         // as a job holds it
	Price        float64 `json:"price,omitempty"` // of a kilogram, in the user's money; 0: not known
}

func (f Filament) name() string { return f.Name }

// FirstFilaments are there on a first start. Temperatures, fan and density are
// common practice, no source: the spool's own numbers count.
func FirstFilaments() []Filament {
	return []Filament{
		{Name: "PLA", Material: job.Material{NozzleTemp: 210, BedTemp: 60, Fan: 1, Density: 1.24}},
		{Name: "PETG", Material: job.Material{NozzleTemp: 240, BedTemp: 80, Fan: 0.5, Density: 1.27}},
		{Name: "ABS", Material: job.Material{NozzleTemp: 245, BedTemp: 100, Fan: 0.1, Density: 1.04}},
	}
}

// AllFilaments lists the own filaments, newest first, then those of a first start
// whose names aren't taken.
func (s Settings) AllFilaments() []Filament { return withFirst(s.Filaments, FirstFilaments()) }

// OwnFilament returns the own filament of a name.
func (s Settings) OwnFilament(name string) (Filament, bool) { return ofName(s.Filaments, name) }

// FilamentOf returns the filament whose values a job holds: the chosen one where
// several have them. False: none has.
func (s Settings) FilamentOf(m job.Material) (Filament, bool) {
	return ofValues(s.AllFilaments(), s.Filament, func(f Filament) bool { return f.Material == m })
}

// MaterialOfNext returns the material of the next part; nil: nobody has chosen one.
func (s Settings) MaterialOfNext() *job.Material {
	if f, ok := ofName(s.AllFilaments(), s.Filament); ok {
		return &f.Material
	}
	return nil
}

// WithFilament returns the settings with a filament among the own ones, in the place
// of one of its name; it is the next part's. A name without letters changes nothing.
func (s Settings) WithFilament(f Filament) Settings {
	if f.Name = nameToKeep(f.Name); f.Name == "" {
		return s
	}
	s.Filaments, s.Filament = withNamed(s.Filaments, f), f.Name
	return s
}

// WithoutFilament returns the settings without the own filament of a name.
func (s Settings) WithoutFilament(name string) Settings {
	s.Filaments = withoutNamed(s.Filaments, name)
	return s
}

// soundFilaments returns those of a list that make sense.
func soundFilaments(list []Filament) []Filament {
	return soundItems(list, func(f Filament) bool {
		ok := f.Price >= 0 && !math.IsInf(f.Price, 0)
		for _, v := range []float64{f.NozzleTemp, f.BedTemp, f.Fan, f.Density} {
			ok = ok && v >= 0 && !math.IsInf(v, 0)
		}
		return ok
	})
}

package settings

import (
	"math"
	"slices"
	"strings"

	"conewright/geom/job"
)

// maxFilaments bounds the list of own filaments, mostName their names, in bytes.
const (
	maxFilaments = 50
	mostName     = 60
)

// Filament is a material under a name, with what it costs.
type Filament struct {
	Name         string  `json:"name"`
	job.Material         // as a job holds it
	Price        float64 `json:"price,omitempty"` // of a kilogram, in the user's money; 0: not known
}

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
func (s Settings) AllFilaments() []Filament {
	all := slices.Clone(s.Filaments)
	for _, f := range FirstFilaments() {
		if _, taken := s.OwnFilament(f.Name); !taken {
			all = append(all, f)
		}
	}
	return all
}

// OwnFilament returns the own filament of a name.
func (s Settings) OwnFilament(name string) (Filament, bool) {
	i := slices.IndexFunc(s.Filaments, func(f Filament) bool { return f.Name == name })
	if i < 0 {
		return Filament{}, false
	}
	return s.Filaments[i], true
}

// FilamentOf returns the filament whose values a job holds: the chosen one where
// several have them. False: none has.
func (s Settings) FilamentOf(m job.Material) (Filament, bool) {
	var found []Filament
	for _, f := range s.AllFilaments() {
		if f.Material == m {
			found = append(found, f)
		}
	}
	if i := slices.IndexFunc(found, func(f Filament) bool { return f.Name == s.Filament }); i >= 0 {
		return found[i], true
	}
	if len(found) == 0 {
		return Filament{}, false
	}
	return found[0], true
}

// MaterialOfNext returns the material of the next part; nil: nobody has chosen one.
func (s Settings) MaterialOfNext() *job.Material {
	for _, f := range s.AllFilaments() {
		if f.Name == s.Filament {
			return &f.Material
		}
	}
	return nil
}

// WithFilament returns the settings with a filament among the own ones, in the place
// of one of its name; it is the next part's. A name without letters changes nothing.
func (s Settings) WithFilament(f Filament) Settings {
	f.Name = strings.TrimSpace(f.Name)
	if f.Name == "" || len(f.Name) > mostName {
		return s
	}
	s.Filaments = append([]Filament{f}, s.WithoutFilament(f.Name).Filaments...)
	s.Filaments = s.Filaments[:min(len(s.Filaments), maxFilaments)]
	s.Filament = f.Name
	return s
}

// WithoutFilament returns the settings without the own filament of a name.
func (s Settings) WithoutFilament(name string) Settings {
	s.Filaments = slices.DeleteFunc(slices.Clone(s.Filaments), func(f Filament) bool { return f.Name == name })
	if len(s.Filaments) == 0 {
		s.Filaments = nil
	}
	return s
}

// soundFilaments returns those of a list that make sense: the file may have been
// changed by hand.
func soundFilaments(list []Filament) []Filament {
	var out []Filament
	for _, f := range list[:min(len(list), maxFilaments)] {
		ok := f.Name != "" && len(f.Name) <= mostName && f.Price >= 0 && !math.IsInf(f.Price, 0)
		for _, v := range []float64{f.NozzleTemp, f.BedTemp, f.Fan, f.Density} {
			ok = ok && v >= 0 && !math.IsInf(v, 0)
		}
		if ok {
			out = append(out, f)
		}
	}
	return out
}

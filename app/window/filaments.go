package window

import (
	"slices"

	"conewright/app/settings"
	"conewright/geom/job"
	"conewright/geom/message"
	"conewright/i18n"
)

// filamentRows choose, keep and remove filaments on the page of shells, and say what
// they cost.
type filamentRows struct {
	*keptRows
	price *numberField
}

// mostPrice bounds what a kilogram may cost.
const mostPrice = 1e6

func newFilamentRows(w *Window) *filamentRows {
	r := &filamentRows{}
	r.keptRows = newKeptRows(w, kept{
		ask: i18n.T("filament.ask"),
		names: func() []string {
			var names []string
			for _, f := range w.settings.AllFilaments() {
				names = append(names, f.Name)
			}
			return names
		},
		of: func(s *job.Setup) string {
			f, _ := w.settings.FilamentOf(s.Material)
			return f.Name
		},
		own: func(name string) bool {
			_, own := w.settings.OwnFilament(name)
			return own
		},
		choose: w.chooseFilament,
		keep: func(s *job.Setup, name string) {
			was, _ := w.settings.FilamentOf(s.Material)
			w.useFilament(w.settings.WithFilament(settings.Filament{Name: name, Material: s.Material, Price: was.Price}))
		},
		drop: func(name string) { w.useFilament(w.settings.WithoutFilament(name)) },
	})
	r.price = newNumberField(2, 1, r.setPrice, w.tellNumber)
	return r
}

func (r *filamentRows) show(s *job.Setup) {
	r.keptRows.show(s)
	f, known := r.w.settings.FilamentOf(s.Material)
	r.price.show(f.Price)
	enable(r.price, known)
}

// chooseFilament takes a filament's values into the setup, and for parts to come.
func (w *Window) chooseFilament(name string) {
	i := slices.IndexFunc(w.settings.AllFilaments(), func(f settings.Filament) bool { return f.Name == name })
	if i < 0 {
		return
	}
	f := w.settings.AllFilaments()[i]
	next := w.settings
	next.Filament = name
	w.useFilament(next)
	w.do("step.material", func(s *job.Setup) { s.Material = f.Material })
}

// useFilament remembers settings and gives their filament to the next part.
func (w *Window) useFilament(next settings.Settings) {
	w.remember(next)
	w.session.UseMaterial(next.MaterialOfNext())
}

// setPrice keeps what the chosen filament costs.
func (r *filamentRows) setPrice(v float64) error {
	if !(v >= 0 && v <= mostPrice) {
		return message.Errorf("a kilogram costs %g: give 0 to %g", v, float64(mostPrice))
	}
	f, known := r.w.settings.FilamentOf(r.w.session.Setup().Material)
	if !known {
		return nil
	}
	f.Price = v
	r.w.useFilament(r.w.settings.WithFilament(f))
	r.w.refresh()
	return nil
}

// costText says what so many grams of the setup's filament cost; "" where its price
// isn't known.
func (w *Window) costText(s *job.Setup, grams float64) string {
	f, _ := w.settings.FilamentOf(s.Material)
	if f.Price == 0 {
		return ""
	}
	return " " + i18n.T("filament.cost", "cost", i18n.Number(grams/1000*f.Price, 2), "name", f.Name)
}

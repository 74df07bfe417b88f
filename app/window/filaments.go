package window

import (
	"slices"

	"conewright/app/focus"
	"conewright/app/settings"
	"conewright/geom/job"
	"conewright/geom/message"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// filamentRows choose, keep and remove filaments on the page of shells. A job holds
// a filament's values; its name and price lie in the settings.
type filamentRows struct {
	w            *Window
	choice       *choice
	price        *numberField
	keep, remove *focus.Button
	buttons      *fyne.Container
}

// mostPrice bounds what a kilogram may cost.
const mostPrice = 1e6

func newFilamentRows(w *Window) *filamentRows {
	r := &filamentRows{w: w}
	r.choice = newChoice(r.names(), sameText, w.chooseFilament)
	r.choice.PlaceHolder = i18n.T("filament.other")
	r.price = newNumberField(2, 1, r.setPrice, w.tellNumber)
	r.keep = focus.NewButton(i18n.T("filament.keep"), r.askName)
	r.remove = focus.NewButton(i18n.T("filament.remove"), r.removeChosen)
	r.buttons = container.NewGridWithColumns(2, r.keep, r.remove)
	return r
}

func sameText(s string) string { return s }

func (r *filamentRows) names() []string {
	var names []string
	for _, f := range r.w.settings.AllFilaments() {
		names = append(names, f.Name)
	}
	return names
}

func (r *filamentRows) show(s *job.Setup) {
	if names := r.names(); !slices.Equal(names, r.choice.values) {
		r.choice.offer(names, sameText)
	}
	f, known := r.w.settings.FilamentOf(s.Material)
	r.choice.show(f.Name)
	r.price.show(f.Price)
	_, own := r.w.settings.OwnFilament(f.Name)
	enable(r.price, known)
	enable(r.remove, own)
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
	w.refresh()
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

// askName asks for the name under which the setup's material is kept.
func (r *filamentRows) askName() {
	s := r.w.session.Setup()
	if s == nil || r.w.asking {
		return
	}
	was, _ := r.w.settings.FilamentOf(s.Material)
	name := newNameEntry(was.Name)
	text := widget.NewLabel(i18n.T("filament.ask"))
	text.Wrapping = fyne.TextWrapWord
	keep := func() {
		r.w.useFilament(r.w.settings.WithFilament(settings.Filament{Name: name.Text, Material: s.Material, Price: was.Price}))
		r.w.refresh()
	}
	buttons := r.w.showNote(i18n.T("filament.keep"), container.NewVBox(text, name), fyne.NewSize(420, 200),
		answer{key: "cancel"}, answer{key: "save", do: keep, main: true})
	name.escape = buttons[0].OnTapped
	name.OnSubmitted = func(string) { buttons[1].OnTapped() }
	r.w.win.Canvas().Focus(name)
}

// removeChosen removes the chosen filament from the own ones; the setup stays.
func (r *filamentRows) removeChosen() {
	if s := r.w.session.Setup(); s != nil {
		f, _ := r.w.settings.FilamentOf(s.Material)
		r.w.useFilament(r.w.settings.WithoutFilament(f.Name))
		r.w.refresh()
	}
}

// nameEntry is an entry for a name in a dialog.
type nameEntry struct {
	widget.Entry
	escape func()
}

func newNameEntry(text string) *nameEntry {
	e := &nameEntry{}
	e.ExtendBaseWidget(e)
	e.SetText(text)
	return e
}

// TypedKey closes the dialog on Escape.
func (e *nameEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape && e.escape != nil {
		e.escape()
		return
	}
	e.Entry.TypedKey(k)
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

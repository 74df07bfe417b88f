package window

import (
	"conewright/app/look"
	"conewright/i18n"

	"fyne.io/fyne/v2"
)

// textSizes are those that a user can choose, by the settings' names: how much
// larger than normal texts are, and how wide the route is for them.
var textSizes = []struct {
	name         string
	scale, route float32
}{
	{"small", 0.88, routeWidth},
	{"", 1, routeWidth},
	{"large", 1.2, 350},
	{"largest", 1.45, 410},
}

// textSize returns the scale and the route's width of a name; one that isn't
// known is normal.
func textSize(name string) (scale, route float32) {
	for _, t := range textSizes {
		if t.name == name {
			return t.scale, t.route
		}
	}
	return 1, routeWidth
}

// ApplyAppearance gives the application the look that the settings ask for. The toolkit
// must have started.
func (w *Window) ApplyAppearance() {
	scale, _ := textSize(w.settings.TextSize)
	if w.course.on && w.course.large {
		scale = max(scale, largeScale)
	}
	enlarged := float64(scale) // letters of the drawing follow the text size
	if w.present.on {
		scale, enlarged = max(scale, w.present.textScale()), wallSheet
	}
	w.sheet.Enlarge(enlarged)
	w.app.Settings().SetTheme(look.Theme{TextScale: scale, Contrast: w.settings.Contrast, Shade: w.settings.Look})
	w.course.lay()
}

// changeAppearance keeps a changed look and shows it.
func (w *Window) changeAppearance(change func(*Window)) {
	change(w)
	w.remember(w.settings)
	w.ApplyAppearance()
	w.menu.refresh()
}

// appearanceMenu is the items of the menu View about size, contrast, light and dark.
type appearanceMenu struct {
	sizes, shades *fyne.MenuItem
	contrast      *fyne.MenuItem
}

func newAppearanceMenu(m *menu) appearanceMenu {
	var l appearanceMenu
	l.sizes = fyne.NewMenuItem(i18n.T("menu.textsize"), nil)
	l.sizes.ChildMenu = fyne.NewMenu("")
	for _, t := range textSizes {
		key := t.name
		if key == "" {
			key = "normal"
		}
		l.sizes.ChildMenu.Items = append(l.sizes.ChildMenu.Items, fyne.NewMenuItem(i18n.T("textsize."+key), func() {
			m.w.changeAppearance(func(w *Window) { w.settings.TextSize = t.name })
		}))
	}
	l.shades = fyne.NewMenuItem(i18n.T("menu.shade"), nil)
	l.shades.ChildMenu = fyne.NewMenu("")
	for _, shade := range shades {
		text := i18n.T("menu.system")
		if shade != "" {
			text = i18n.T("shade." + shade)
		}
		l.shades.ChildMenu.Items = append(l.shades.ChildMenu.Items, fyne.NewMenuItem(text, func() {
			m.w.changeAppearance(func(w *Window) { w.settings.Look = shade })
		}))
	}
	l.contrast = m.item("menu.contrast", "", 0, func() {
		m.w.changeAppearance(func(w *Window) { w.settings.Contrast = !w.settings.Contrast })
	})
	return l
}

// shades are the settings' names of light and dark; "" is the system's.
var shades = []string{"", look.ShadeLight, look.ShadeDark}

// refresh ticks what is chosen, and says so in a line for menu.refresh.
func (l *appearanceMenu) refresh(w *Window) string {
	for i, t := range textSizes {
		l.sizes.ChildMenu.Items[i].Checked = t.name == w.settings.TextSize
	}
	for i, shade := range shades {
		l.shades.ChildMenu.Items[i].Checked = shade == w.settings.Look
	}
	l.contrast.Checked = w.settings.Contrast
	return w.settings.TextSize + "/" + w.settings.Look + flag(w.settings.Contrast)
}

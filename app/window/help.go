package window

import (
	"strings"

	"conewright/app/help"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
)

// showHelp opens the help at a page by its key; "" is the first.
func (w *Window) showHelp(key string) {
	pages := help.New(w.menu.shortcuts())
	for i, t := range pages.Topics {
		if t.Key == key {
			pages.Open(i)
		}
	}
	w.showDialog(dialog.NewCustom(i18n.T("menu.help"), i18n.T("close"), pages.View, w.win), fyne.NewSize(820, 600))
}

// about says what the program is and what is built in.
func (w *Window) about() {
	w.showDialog(dialog.NewCustom(i18n.T("menu.about"), i18n.T("close"), help.About(), w.win), fyne.NewSize(860, 600))
}

// shortcuts lists the menu's, in its order.
func (m *menu) shortcuts() []help.Shortcut {
	var list []help.Shortcut
	for _, top := range m.main.Items {
		for _, item := range top.Items {
			if s, ok := item.Shortcut.(*desktop.CustomShortcut); ok {
				list = append(list, help.Shortcut{Keys: keysText(s), What: item.Label})
			}
		}
	}
	return list
}

// keysText writes a shortcut as keys are labelled.
func keysText(s *desktop.CustomShortcut) string {
	var keys []string
	for _, m := range []struct {
		modifier fyne.KeyModifier
		name     string
	}{{fyne.KeyModifierControl, i18n.T("help.key.control")}, {fyne.KeyModifierSuper, "Cmd"}, {fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, i18n.T("help.key.shift")}} {
		if s.Modifier&m.modifier != 0 {
			keys = append(keys, m.name)
		}
	}
	return strings.Join(append(keys, string(s.KeyName)), " + ")
}

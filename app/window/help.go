package window

import (
	"strings"

	"conewright/app/help"
	"conewright/i18n"

	"fyne.io/fyne/v2"
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
	buttons := w.showNote(i18n.T("menu.help"), pages.View, fyne.NewSize(820, 600), answer{key: "close"})
	pages.OnEscape(buttons[0].OnTapped)
}

// about says what the program is and what is built in.
func (w *Window) about() {
	w.showNote(i18n.T("menu.about"), help.About(), fyne.NewSize(860, 600), answer{key: "close"})
}

// shortcuts lists the menu's, in its order.
func (m *menu) shortcuts() []help.Shortcut {
	var list []help.Shortcut
	for _, top := range m.main.Items {
		for _, item := range top.Items {
			switch s := item.Shortcut.(type) {
			case *desktop.CustomShortcut:
				list = append(list, help.Shortcut{Keys: keysText(s), What: item.Label})
			case *fyne.ShortcutUndo:
				keys := &desktop.CustomShortcut{KeyName: s.Key(), Modifier: s.Mod()}
				list = append(list, help.Shortcut{Keys: keysText(keys), What: i18n.T("menu.undo")})
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

package window

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// menu is the main menu. Its items are made once; refresh sets their texts and
// whether they can be used.
type menu struct {
	w              *Window
	main           *fyne.MainMenu
	save, saveAs   *fyne.MenuItem
	undo, redo     *fyne.MenuItem
	run, cancel    *fyne.MenuItem
	recent         *fyne.MenuItem
	hidden, shells *fyne.MenuItem
	lessons        *fyne.MenuItem
	present        *fyne.MenuItem
	beside         *fyne.MenuItem
	views          *fyne.MenuItem
	looks          appearanceMenu
	shown          string // what was drawn last, to draw only changes
}

func newMenu(w *Window) *menu {
	m := &menu{w: w}
	m.save = m.item("menu.save", fyne.KeyS, 0, func() { w.save(nil) })
	m.saveAs = m.item("menu.saveas", fyne.KeyS, fyne.KeyModifierShift, func() { w.saveAs(nil) })
	m.undo = m.item("menu.undo", fyne.KeyZ, 0, w.session.Undo)
	m.undo.Shortcut = &fyne.ShortcutUndo{} // so the toolkit calls Control and Z; another name is never found
	m.redo = m.item("menu.redo", fyne.KeyZ, fyne.KeyModifierShift, w.session.Redo)
	m.run = m.item("menu.run", fyne.KeyR, 0, w.askRun)
	m.cancel = m.item("menu.cancel", "", 0, w.session.Cancel)
	m.recent = fyne.NewMenuItem(i18n.T("menu.recent"), nil)
	m.recent.ChildMenu = fyne.NewMenu("")
	m.hidden = m.item("menu.hidden", fyne.KeyH, 0, func() { w.sheet.ToggleHidden(); m.refresh() })
	m.shells = m.item("menu.shells", fyne.KeyL, 0, func() { w.sheet.ToggleShells(); m.refresh() })
	m.lessons = m.item("menu.lessons", "", 0, w.course.begin)
	m.present = m.item("menu.present", "", 0, w.present.toggle)
	m.present.Shortcut = &desktop.CustomShortcut{KeyName: fyne.KeyF11} // the toolkit calls it with a modifier only: see Window.typedKey
	m.beside = m.item("menu.beside", "", 0, w.toggleBeside)
	m.beside.Shortcut = &desktop.CustomShortcut{KeyName: fyne.KeyF8} // the same
	m.views = m.newViews()
	m.looks = newAppearanceMenu(m)
	quit := m.item("menu.quit", fyne.KeyQ, 0, func() { w.ifSaved(w.close) })
	quit.IsQuit = true
	m.main = fyne.NewMainMenu(
		fyne.NewMenu(i18n.T("menu.file"), m.item("menu.open", fyne.KeyO, 0, w.askOpen), m.recent,
			fyne.NewMenuItemSeparator(), m.save, m.saveAs,
			m.item("menu.drawing", fyne.KeyE, 0, w.askDrawing),
			m.item("menu.handout", fyne.KeyP, 0, w.askHandout), m.item("menu.growth", "", 0, w.askGrowth), fyne.NewMenuItemSeparator(), quit),
		fyne.NewMenu(i18n.T("menu.edit"), m.undo, m.redo),
		fyne.NewMenu(i18n.T("menu.view"), m.item("menu.fit", fyne.Key0, 0, w.sheet.Fit), m.views, m.hidden, m.shells, m.beside, m.present,
			fyne.NewMenuItemSeparator(), m.looks.sizes, m.looks.contrast, m.looks.shades,
			fyne.NewMenuItemSeparator(), m.languageItem()),
		fyne.NewMenu(i18n.T("menu.runs"), m.run, m.cancel),
		fyne.NewMenu(i18n.T("menu.help"), m.lessons, m.item("menu.worksheets", "", 0, w.askAllWorksheets), m.item("menu.papercone", "", 0, w.askPaperCone),
			m.item("menu.helppages", "", 0, func() { w.showHelp("") }), m.item("menu.keys", fyne.KeySlash, 0, func() { w.showHelp("keys") }),
			fyne.NewMenuItemSeparator(), m.item("menu.cautions", "", 0, w.readCautions), m.item("menu.about", "", 0, w.about)),
	)
	w.win.SetMainMenu(m.main)
	return m
}

// item makes an item; with a key it has the shortcut Control and that key.
// Shortcuts wait while a dialog is open, and editing text goes first.
func (m *menu) item(key string, k fyne.KeyName, extra fyne.KeyModifier, do func()) *fyne.MenuItem {
	item := fyne.NewMenuItem(i18n.T(key), func() {
		if !m.w.asking {
			do()
		}
	})
	if k != "" {
		item.Shortcut = &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | extra}
	}
	return item
}

func (m *menu) refresh() {
	s := m.w.session
	has := s.Setup() != nil
	m.save.Disabled, m.saveAs.Disabled = !has, !has
	m.undo.Label, m.undo.Disabled = stepText("menu.undo", s.UndoName()), s.UndoName() == ""
	m.redo.Label, m.redo.Disabled = stepText("menu.redo", s.RedoName()), s.RedoName() == ""
	m.run.Disabled = !has || s.Run().Active
	m.cancel.Disabled = !s.Run().Active
	m.beside.Disabled = !has
	m.lessons.Disabled = s.Run().Active && !s.Aside()
	m.hidden.Checked, m.shells.Checked = m.w.sheet.Hidden(), m.w.sheet.Shells()
	m.showRecent()
	state := m.looks.refresh(m.w) + m.w.sheet.Only().String()
	for i, item := range m.views.ChildMenu.Items {
		item.Checked = drawing.Views()[i] == m.w.sheet.Only()
	}
	for _, i := range []*fyne.MenuItem{m.save, m.undo, m.redo, m.run, m.cancel, m.hidden, m.shells, m.lessons, m.beside} {
		state += i.Label + flag(i.Disabled) + flag(i.Checked)
	}
	for _, r := range m.w.settings.Recent {
		state += "\n" + r
	}
	if state != m.shown { // drawing the menu again costs a frame
		m.shown = state
		m.main.Refresh()
	}
}

// newViews offers all views, or one that has the sheet for itself.
func (m *menu) newViews() *fyne.MenuItem {
	top := fyne.NewMenuItem(i18n.T("menu.views"), nil)
	top.ChildMenu = fyne.NewMenu("")
	keys := map[drawing.View]string{drawing.Sheet: "onsheet.all", drawing.Elevation: "menu.elevation", drawing.Plan: "menu.plan", drawing.Pictorial: "menu.pictorial"}
	for _, v := range drawing.Views() {
		top.ChildMenu.Items = append(top.ChildMenu.Items, fyne.NewMenuItem(i18n.T(keys[v]), func() { m.w.sheet.ShowOnly(v) }))
	}
	return top
}

// languageItem offers the system's language and each that has a catalogue, by
// its own name.
func (m *menu) languageItem() *fyne.MenuItem {
	top := fyne.NewMenuItem(i18n.T("menu.language"), nil)
	top.ChildMenu = fyne.NewMenu("")
	add := func(tag, name string) {
		item := fyne.NewMenuItem(name, func() { m.w.setLanguage(tag) })
		item.Checked = m.w.settings.Language == tag
		top.ChildMenu.Items = append(top.ChildMenu.Items, item)
	}
	add("", i18n.T("menu.system"))
	for _, l := range i18n.Languages() {
		add(l.Tag, l.Name)
	}
	return top
}

func flag(b bool) string {
	if b {
		return "1"
	}
	return "0"
}

func (m *menu) showRecent() {
	m.recent.Disabled = len(m.w.settings.Recent) == 0
	m.recent.ChildMenu.Items = nil
	for _, path := range m.w.settings.Recent {
		item := fyne.NewMenuItem(filepath.Base(path), func() {
			if !m.w.asking {
				m.w.openRecent(path)
			}
		})
		m.recent.ChildMenu.Items = append(m.recent.ChildMenu.Items, item)
	}
}

// openRecent opens a recent file, or takes one off the list that isn't there any more.
func (w *Window) openRecent(path string) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		w.remember(w.settings.WithoutRecent(path))
		w.complain(goneError{path})
		return
	}
	w.openOrAdd(path)
}

// goneError is a recent file that isn't there any more.
type goneError struct{ path string }

func (e goneError) Error() string {
	return i18n.T("error.gone", "file", filepath.Base(e.path), "folder", filepath.Dir(e.path))
}

// stepText names what would be undone.
func stepText(key, step string) string {
	if step == "" {
		return i18n.T(key)
	}
	return i18n.T(key+".step", "step", i18n.T(step))
}

func (w *Window) readCautions() {
	text := widget.NewLabel(i18n.T("cautions.text"))
	text.Wrapping = fyne.TextWrapWord
	w.showNote(i18n.T("cautions.title"), text, fyne.NewSize(560, 340), answer{key: "close"})
}

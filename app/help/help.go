// Package help is the short pages that come with the program: what the
// operations do, the keys, the cautions, and what is built in. All of it is in
// the program; nothing is looked up elsewhere.
package help

import (
	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// Shortcut is a key and what it does, both as shown.
type Shortcut struct{ Keys, What string }

// Topic is a page of the help. Its title is in the catalogue under
// help.KEY.title.
type Topic struct {
	Key  string
	body func([]Shortcut) fyne.CanvasObject
}

// Topics lists the pages in their order.
func Topics() []Topic {
	return []Topic{
		{"start", plain("start")},
		{"operations", plain("operations")},
		{"sheet", plain("sheet")},
		{"keys", keys},
		{"findings", plain("findings")},
		{"cautions", cautions},
	}
}

// Title returns the page's title.
func (t Topic) Title() string { return i18n.T("help." + t.Key + ".title") }

// plain is a page of paragraphs.
func plain(key string) func([]Shortcut) fyne.CanvasObject {
	return func([]Shortcut) fyne.CanvasObject { return paragraph(i18n.T("help." + key + ".text")) }
}

func cautions([]Shortcut) fyne.CanvasObject { return paragraph(i18n.T("cautions.text")) }

func paragraph(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	return l
}

// keys is the page of shortcuts: those of the menu, and the sheet's.
func keys(menu []Shortcut) fyne.CanvasObject {
	rows := container.New(layout.NewFormLayout())
	for _, s := range append(menu, onSheet()...) {
		key := widget.NewLabel(s.Keys)
		key.TextStyle.Bold = true
		rows.Add(key)
		rows.Add(paragraph(s.What))
	}
	return rows
}

// onSheet are the keys of the sheet, once it is clicked on or reached by Tab.
func onSheet() []Shortcut {
	return []Shortcut{
		{"Alt", i18n.T("help.key.menu")},
		{"Tab", i18n.T("help.key.tab")},
		{i18n.T("help.key.space"), i18n.T("help.key.press")},
		{"← → ↑ ↓", i18n.T("help.key.arrows")},
		{i18n.T("help.key.shift") + " + ← → ↑ ↓", i18n.T("help.key.more")},
		{"1 … 7", i18n.T("help.key.digits")},
		{"8 9 0", i18n.T("help.key.alone")},
		{"+  −", i18n.T("help.key.zoom")},
		{i18n.T("help.key.homekey"), i18n.T("help.key.home")},
		{"A B C", i18n.T("help.key.answer")},
		{"Page ↓  Page ↑", i18n.T("help.key.page")},
		{"F9", i18n.T("help.key.panel")},
		{"Esc", i18n.T("help.key.escape")},
		{"Alt", i18n.T("help.key.alt")},
	}
}

// Pages are the help as a widget: topics on the left, the chosen one beside.
type Pages struct {
	Topics []Topic
	View   fyne.CanvasObject

	menu    []Shortcut
	buttons []*focus.Button
	page    *focus.Text
	open    int
}

// New returns the pages in the language in use, the first one open. menu are
// the shortcuts of the menu.
func New(menu []Shortcut) *Pages {
	p := &Pages{Topics: Topics(), menu: menu, page: focus.NewText(widget.NewLabel(""))}
	list := container.NewVBox()
	for i, t := range p.Topics {
		b := focus.NewButton(t.Title(), func() { p.Open(i) })
		b.Alignment = widget.ButtonAlignLeading
		p.buttons = append(p.buttons, b)
		list.Add(b)
	}
	p.View = container.NewBorder(nil, nil, list, nil, p.page)
	p.Open(0)
	return p
}

// OnEscape says what Escape does wherever the focus is in the pages.
func (p *Pages) OnEscape(do func()) {
	p.page.Escape = do
	for _, b := range p.buttons {
		b.Escape = do
	}
}

// Open shows a page by its number from 0.
func (p *Pages) Open(i int) {
	if i < 0 || i >= len(p.Topics) {
		return
	}
	p.open = i
	for k, b := range p.buttons {
		b.Importance = widget.LowImportance
		if k == i {
			b.Importance = widget.HighImportance
		}
		b.Refresh()
	}
	title := widget.NewLabel(p.Topics[i].Title())
	title.TextStyle.Bold = true
	title.SizeName = "headingText"
	p.page.Put(container.New(layout.NewCustomPaddedLayout(0, 0, 10, 14),
		container.NewVBox(title, p.Topics[i].body(p.menu))))
}

package help

import (
	"strings"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/packaging/licences"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// About is what the program is, its version, what is built in and under which
// licences.
func About() fyne.CanvasObject {
	return container.NewBorder(paragraph(i18n.T("about.text", "version", job.Program)), nil, nil, nil, newLicences())
}

// newLicences lists the licences: what is built in first, then a name a row
// whose text opens beside. A label of all of it would take seconds to lay out.
func newLicences() fyne.CanvasObject {
	parts := Licences(licences.Text)
	text := widget.NewLabel("")
	text.Wrapping = fyne.TextWrapWord
	scroll := focus.NewText(text)
	list := widget.NewList(func() int { return len(parts) },
		func() fyne.CanvasObject {
			l := widget.NewLabel("")
			l.Truncation = fyne.TextTruncateEllipsis
			return l
		},
		func(i widget.ListItemID, o fyne.CanvasObject) { o.(*widget.Label).SetText(parts[i].Name) })
	list.OnSelected = func(i widget.ListItemID) {
		text.SetText(parts[i].Text)
		scroll.ScrollToTop()
	}
	if len(parts) > 0 {
		list.Select(0)
	}
	split := container.NewHSplit(list, scroll)
	split.Offset = 0.38
	return split
}

// Licence is a text that what is built in comes under.
type Licence struct{ Name, Text string }

// Licences takes apart the collected licences: the list of what is built in, then
// each text under its "==== name" line.
func Licences(all string) []Licence {
	parts := strings.Split("\n"+all, "\n==== ")
	out := []Licence{{Name: i18n.T("about.builtin"), Text: strings.TrimSpace(parts[0])}}
	for _, p := range parts[1:] {
		name, text, _ := strings.Cut(p, "\n")
		out = append(out, Licence{Name: strings.Trim(name, "= "), Text: strings.TrimSpace(text)})
	}
	return out
}

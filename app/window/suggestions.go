package window

import (
	"strings"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// suggestionsView is the part of the zones' page that asks for plans and lists them.
type suggestionsView struct {
	w      *Window
	ask    *focus.Button
	cancel *focus.Button
	bar    *bar
	text   *widget.Label
	list   *fyne.Container
	shown  *job.Suggestion // the first of what is listed
	view   *fyne.Container
	turned [3]float64 // of a plan that was taken and laid the part on another side
	tells  bool       // that it did
}

func newSuggestionsView(w *Window) *suggestionsView {
	v := &suggestionsView{w: w, bar: newBar(), text: remark(), list: container.NewVBox()}
	v.ask = focus.NewButton(i18n.T("ideas.ask"), w.session.Suggest)
	v.cancel = focus.NewButton(i18n.T("cancel"), func() { w.session.DropIdeas(); w.refresh() })
	v.view = container.NewVBox(v.ask, v.bar, v.cancel, v.text, v.list)
	return v
}

func (v *suggestionsView) show() {
	ideas := v.w.session.Ideas()
	visible(v.view, v.w.session.Setup() != nil)
	visible(v.ask, !ideas.Active)
	visible(v.bar, ideas.Active)
	visible(v.cancel, ideas.Active)
	v.bar.show(ideas.Done)
	switch {
	case ideas.Err != nil:
		say(v.text, errorText(ideas.Err))
	case v.tells && v.w.session.Setup() != nil && v.w.session.Chosen().Part.Turn == v.turned:
		say(v.text, i18n.T("ideas.turned"))
	case len(ideas.List) > 0:
		say(v.text, foundText(ideas.List))
	default:
		say(v.text, "")
	}
	v.fill(ideas.List)
}

// foundText heads the list, and tells where the first plan leaves something to support.
func foundText(list []job.Suggestion) string {
	text, page := i18n.T("ideas.found"), i18n.T("route.shells")
	switch first := &list[0]; {
	case first.Carries():
		return text
	case first.Setup.Support == job.SupportNone:
		return i18n.T("ideas.left", "page", page) + "\n" + text
	}
	return i18n.T("ideas.held", "page", page) + "\n" + text
}

// fill lists suggestions, unless they are listed already.
func (v *suggestionsView) fill(list []job.Suggestion) {
	var first *job.Suggestion
	if len(list) > 0 {
		first = &list[0]
	}
	if first == v.shown {
		return
	}
	v.shown = first
	v.list.Objects = nil
	for i := range list {
		text := remark()
		words, turn := ideaText(&list[i]), list[i].Setup.Part.Turn
		if s := v.w.session.Chosen(); s != nil && turn != s.Part.Turn {
			words = i18n.T("ideas.turns") + "\n" + words
		}
		say(text, words)
		use := focus.NewButton(i18n.T("ideas.use"), func() { v.take(i, turn) })
		v.list.Add(container.NewBorder(nil, nil, nil, container.NewVBox(use), text))
	}
	v.list.Refresh()
}

// take makes a plan the setup's, and tells where it turned the part.
func (v *suggestionsView) take(i int, turn [3]float64) {
	was := v.w.session.Chosen().Part.Turn
	v.turned, v.tells = turn, turn != was
	if err := v.w.session.Adopt(i, "step.idea"); err != nil {
		v.tells = false
		v.w.complain(err)
	}
}

// ideaText gives a plan's fields and figures.
func ideaText(s *job.Suggestion) string {
	var fields []string
	for _, leaf := range s.Setup.Zones.Leaves() {
		fields = append(fields, fieldText(leaf.Field))
	}
	f := &s.Plan.Figures
	text := strings.Join(fields, " + ")
	return text + "\n" + i18n.T("ideas.overhang", "area", i18n.Number(f.OverhangArea, 0)) + ", " + i18n.N("zones.midair", f.MidairStarts)
}

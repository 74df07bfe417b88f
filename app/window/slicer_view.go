package window

import (
	"path/filepath"
	"slices"
	"strings"

	"conewright/app/focus"
	"conewright/app/session"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// ownView is the part of the motion's page that waits for motion files from the
// user's own slicer: a row a zone.
type ownView struct {
	w            *Window
	write, card  *focus.Button
	rows         *fyne.Container
	zones        []string        // of the rows
	texts        []*widget.Label // a row's
	take, look   []*focus.Button
	note, strays *widget.Label
	view         *fyne.Container
}

func newOwnView(w *Window) *ownView {
	v := &ownView{w: w, rows: container.NewVBox(), note: remark(), strays: remark()}
	v.write = focus.NewButton(i18n.T("warped.write"), w.own.write)
	v.card = focus.NewButton(i18n.T("motion.card"), func() { w.route.show(w.route.find("warped")) })
	v.view = container.NewVBox(v.write, v.card, v.note, v.rows, v.strays)
	return v
}

func (v *ownView) show(motion map[string]string) {
	s, own := v.w.session.Setup(), v.w.own
	visible(v.view, s != nil && own.on)
	if s == nil || !own.on {
		return
	}
	visible(v.write, !own.current())
	enable(v.write, !own.writing && !own.wanted)
	v.lay()
	for i, zone := range v.zones {
		text := i18n.T("motion.waits", "zone", zone)
		if file, ok := motion[zone]; ok {
			text = i18n.T("motion.has", "zone", zone, "file", filepath.Base(file))
		}
		fit := v.w.fitOf(zone)
		if fit != nil {
			text += "\n" + fitLine(fit)
			v.w.fit.tell(fit)
		}
		say(v.texts[i], text)
		visible(v.look[i], fit != nil && fit.Result != nil)
		enable(v.take[i], !v.w.session.Run().Active)
	}
	switch {
	case own.writing || own.wanted:
		say(v.note, i18n.T("warped.writing"))
	case own.current():
		say(v.note, i18n.T("motion.looking", "folder", lastTwo(v.w.session.OutDir())))
	default:
		say(v.note, i18n.T("warped.stale"))
	}
	var lines []string
	for _, file := range own.strays {
		lines = append(lines, i18n.T("motion.stray", "file", file))
	}
	say(v.strays, strings.Join(lines, "\n"))
}

// lay makes a row a zone, unless they are there already.
func (v *ownView) lay() {
	var zones []string
	for _, leaf := range v.w.session.Setup().Leaves() {
		zones = append(zones, leaf.Name)
	}
	if slices.Equal(zones, v.zones) {
		return
	}
	v.zones, v.texts, v.take, v.look, v.rows.Objects = zones, nil, nil, nil, nil
	for _, zone := range zones {
		text := remark()
		take := focus.NewButton(i18n.T("motion.take"), func() { v.ask(zone) })
		look := focus.NewButton(i18n.T("fit.look"), func() { v.w.fit.look(zone) })
		v.texts, v.take, v.look = append(v.texts, text), append(v.take, take), append(v.look, look)
		v.rows.Add(container.NewVBox(text, container.NewGridWithColumns(2, take, look)))
	}
	v.rows.Refresh()
}

// ask asks for the planar motion file of a zone.
func (v *ownView) ask(zone string) {
	v.w.askFile(i18n.T("motion.ask", "zone", zone), session.MotionEndings, func(path string) {
		v.w.motion.takeMotion(zone, path)
	})
}

// count tells how many motion files are here.
func (v *ownView) count(motion map[string]string) string {
	n, all := 0, v.w.session.Setup().Leaves()
	for _, leaf := range all {
		if _, ok := motion[leaf.Name]; ok {
			n++
		}
	}
	return i18n.T("motion.count", "n", i18n.Integer(n), "all", i18n.Integer(len(all)))
}

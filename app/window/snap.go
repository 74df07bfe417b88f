package window

import (
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// snap returns where an axis that is dragged to p goes: to a hole's middle, the
// part's centroid or seat or another zone's axis where one is near, with a mark
// that says so, else to a grid.
func (w *Window) snap(s *job.Setup, zone int, p r2.Vec) (r2.Vec, *render.Snap) {
	best, words, least := p, "", snapReach
	try := func(q r2.Vec, key string) {
		if d := r2.Norm(r2.Sub(p, q)); d < least {
			best, words, least = q, i18n.T("snap."+key), d
		}
	}
	try(r2.Vec{X: s.Part.Seat[0], Y: s.Part.Seat[1]}, "seat")
	for i, leaf := range s.Leaves() {
		if i != zone && leaf.Field.Axis != nil {
			try(r2.Vec{X: leaf.Field.Axis[0], Y: leaf.Field.Axis[1]}, "axis")
		}
	}
	if f := w.session.Facts(); f != nil {
		for _, place := range f.Places {
			if place.Hole {
				try(place.At, "hole")
			} else {
				try(place.At, "middle")
			}
		}
	}
	if words == "" {
		return r2.Vec{X: onGrid(p.X), Y: onGrid(p.Y)}, nil
	}
	return best, &render.Snap{At: r3.Vec{X: best.X, Y: best.Y}, Words: words}
}

// zoneAt returns the name of the zone in which a point lies: that whose mesh holds
// it, as cuts that are limited to one piece want; beside the part, the one on whose
// side of the chosen part's cuts it lies.
func (w *Window) zoneAt(s *job.Setup, p r3.Vec) string {
	leaves := s.Leaves()
	if f := w.session.Facts(); f != nil && f.Setup == s && len(f.Regions) == len(leaves) {
		for i, g := range f.Regions {
			if g.Mesh.Holds(p) {
				return leaves[i].Name
			}
		}
	}
	z := w.session.Chosen().Zones
	for z.Cut != nil {
		plane := z.Cut.Plane()
		if r3.Dot(plane.Normal, r3.Sub(p, plane.Point)) > 0 {
			z = z.Over
		} else {
			z = z.Under
		}
	}
	return z.Name
}

// addCutAt cuts the zone in which a point lies, level at its height.
func (w *Window) addCutAt(p r3.Vec) {
	s, f := w.session.Setup(), w.session.Facts()
	if s == nil || f == nil || f.Model == nil {
		return
	}
	box := f.Model.Mesh.Bounds()
	if height := onGrid(p.Z); height > box.Min.Z && height < box.Max.Z {
		upper, name := "", w.zoneAt(s, p)
		w.chooseZone(name)
		w.do("step.addcut", func(s *job.Setup) {
			upper = splitLeaf(s, name, [3]float64{s.Part.Seat[0], s.Part.Seat[1], height})
		})
		if leafNamed(w.session.Setup(), upper) != nil {
			w.zones.chosen = upper
			w.refresh()
		}
	}
}

// removeCut removes a cut of an index: what lies over it joins the zone right
// under it and takes its field; other cuts stay.
func removeCut(s *job.Setup, index int) {
	cut := cutNumber(s, index)
	var walk func(z *job.Zone)
	walk = func(z *job.Zone) {
		if z.Cut == nil || cut == nil {
			return
		}
		if z.Cut == cut {
			*z = *joined(z.Under, z.Over)
			return
		}
		walk(z.Under)
		walk(z.Over)
	}
	for _, one := range s.Single() {
		walk(one.Zones)
	}
}

// joined stacks the zones over a cut that is gone on those under it.
func joined(under, over *job.Zone) *job.Zone {
	if over.Cut == nil {
		return under
	}
	return &job.Zone{Cut: over.Cut, Under: joined(under, over.Under), Over: over.Over}
}

// axisTo puts the axis of the chosen zone, or of the one in question, to a
// place.
func (w *Window) axisTo(zone int, p r3.Vec) {
	w.do("step.axis", func(s *job.Setup) {
		leaves := s.Leaves()
		if zone < len(leaves) && leaves[zone].Field.Axis != nil {
			to, _ := w.snap(s, zone, r2.Vec{X: p.X, Y: p.Y})
			*leaves[zone].Field.Axis = [2]float64{to.X, to.Y}
		}
	})
}

// onSheetMenu offers what can be done at a place of the sheet.
func (w *Window) onSheetMenu(item drawing.Item, at fyne.Position, p r3.Vec, view drawing.View) {
	if w.asking || w.session.Setup() == nil {
		return
	}
	widget.ShowPopUpMenuAtPosition(fyne.NewMenu("", w.onSheetItems(item, p, view)...), w.win.Canvas(), at)
}

func (w *Window) onSheetItems(item drawing.Item, p r3.Vec, view drawing.View) []*fyne.MenuItem {
	var items []*fyne.MenuItem
	add := func(text string, do func()) { items = append(items, fyne.NewMenuItem(text, do)) }
	if item.Kind == drawing.CutItem || item.Kind == drawing.CutTiltItem {
		add(i18n.T("onsheet.removecut"), func() {
			w.do("step.removecut", func(s *job.Setup) { removeCut(s, item.Index) })
		})
	}
	switch view {
	case drawing.Elevation:
		add(i18n.T("onsheet.addcut"), func() { w.addCutAt(p) })
		s := w.session.Setup()
		if zone := w.zoneAt(s, p); cutUnder(s, zone) != nil {
			add(i18n.T("onsheet.only"), func() { w.limitTo(zone, &p) })
		}
	case drawing.Plan:
		if item.Kind == drawing.PartItem || item.Kind == drawing.PartTurnItem {
			add(i18n.T("onsheet.turnpart"), func() { w.nudgeTurn(drawing.Item{Kind: drawing.PartItem, Index: item.Index}, 90) })
		}
		if zone := w.zoneWithAxis(); zone >= 0 {
			add(i18n.T("onsheet.axis"), func() { w.axisTo(zone, p) })
		}
	case drawing.Pictorial:
		if part, normal, ok := w.faceAt(p, view); ok {
			add(i18n.T("onsheet.laydown"), func() {
				w.session.ChoosePart(part)
				w.layDown(normal)
			})
		}
	}
	if w.sheet.Only() == drawing.Sheet {
		add(i18n.T("onsheet.alone"), func() { w.sheet.ShowOnly(view) })
	} else {
		add(i18n.T("onsheet.all"), func() { w.sheet.ShowOnly(drawing.Sheet) })
	}
	add(i18n.T("onsheet.fit"), w.sheet.Fit)
	return items
}

// zoneWithAxis returns the index of the chosen zone if it has an axis, else of
// the first of the chosen part that has; -1: none has.
func (w *Window) zoneWithAxis() int {
	found, chosen := -1, w.session.Chosen()
	for i, leaf := range w.session.Setup().Leaves() {
		if leaf.Field.Axis != nil && leafNamed(chosen, leaf.Name) != nil && (found < 0 || leaf.Name == w.zones.chosen) {
			found = i
		}
	}
	return found
}

package window

import (
	"conewright/app/sheet"
	"conewright/i18n"
	"conewright/render/drawing"
)

// hover says in the bottom bar what is under the pointer, and where that is.
func (w *Window) hover(u sheet.Under) {
	text := ""
	switch u.View {
	case drawing.Plan:
		text = i18n.T("hover.plan", "x", i18n.Number(u.At.X, 1), "y", i18n.Number(u.At.Y, 1))
	case drawing.Elevation:
		text = i18n.T("hover.elevation", "x", i18n.Number(u.At.X, 1), "z", i18n.Number(u.At.Z, 1))
	}
	if what := w.named(u.Item); what != "" {
		if text != "" && u.Item.Kind != drawing.TitleItem {
			what += "   " + text
		}
		text = what
	}
	if w.bottom.place.Text != text {
		w.bottom.place.SetText(text)
	}
}

// named says what an item is and what can be done with it; "" for nothing.
func (w *Window) named(item drawing.Item) string {
	switch item.Kind {
	case drawing.AxisItem:
		if s := w.session.Setup(); s != nil {
			if leaves := s.Leaves(); item.Index < len(leaves) {
				return i18n.T("hover.axis", "zone", leaves[item.Index].Name)
			}
		}
	case drawing.PointItem:
		if s := w.session.Setup(); s != nil {
			if leaf, point := linePoint(s, item.Index); leaf != nil {
				return i18n.T("hover.point", "n", i18n.Integer(point+1), "zone", leaf.Name)
			}
		}
	case drawing.RampItem:
		if s := w.session.Setup(); s != nil {
			if leaves := s.Leaves(); item.Index < len(leaves) {
				return i18n.T("hover.ramp", "zone", leaves[item.Index].Name)
			}
		}
	case drawing.PartItem, drawing.PartTurnItem:
		name := w.session.Name()
		if names := partNames(w.session.Setup()); item.Index < len(names) {
			name = names[item.Index]
		}
		if item.Kind == drawing.PartTurnItem {
			return i18n.T("hover.turnpart", "part", name)
		}
		return i18n.T("hover.part", "part", name)
	case drawing.CutItem:
		return i18n.T("hover.cut", "n", i18n.Integer(item.Index+1))
	case drawing.CutTiltItem:
		return i18n.T("hover.tilt", "n", i18n.Integer(item.Index+1))
	case drawing.MidAirItem:
		return i18n.T("hover.sign", "what", i18n.T("sheet.keymidair"))
	case drawing.FindingItem:
		return i18n.T("hover.sign", "what", i18n.T("sheet.keyfinding"))
	case drawing.TitleItem:
		if w.sheet.Only() == drawing.Sheet {
			return i18n.T("hover.alone")
		}
		return i18n.T("hover.all")
	}
	return ""
}

package window

import (
	"math"
	"slices"
	"strings"

	"conewright/app/look"
	"conewright/app/pictures"
	"conewright/app/session"
	"conewright/app/sheet"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// showOnSheet composes what the sheet draws from the newest setup and the
// newest facts. A field that is being dragged is drawn at once, though its
// figures are still of a moment ago.
func (w *Window) showOnSheet() {
	now := shown{w.sheet, w.session.Setup(), w.session.Facts(), w.session.Run().Result, w.check.chosen}
	if now == w.onSheet {
		return // a run's progress, say
	}
	w.onSheet = now
	if now.facts != nil && now.facts.Part == nil && w.route.open != w.route.find("part") {
		w.route.show(w.route.find("part")) // where it says why it can't be read
	}
	in, usable := w.scene()
	w.sheet.Draw(in, usable)
	visible(w.welcome, w.session.Setup() == nil && w.pane.open == nil)
}

// shown is what the sheet's picture depends on, beside how it is looked at.
type shown struct {
	sheet  *sheet.Sheet
	setup  *job.Setup
	facts  *session.Facts
	result *job.Result
	chosen int // finding
}

// newWarp is the slider that draws the part from real to warped.
func (w *Window) newWarp() fyne.CanvasObject {
	slider := widget.NewSlider(0, 1)
	slider.Step = 0.01
	slider.OnChanged = func(v float64) {
		w.sheet.SetWarp(v)
		w.course.refresh()
	}
	w.warp = slider
	return container.NewHBox(widget.NewLabel(i18n.T("warp.real")),
		container.NewGridWrap(fyne.NewSize(130, slider.MinSize().Height), container.NewThemeOverride(slider, look.Track{})),
		widget.NewLabel(i18n.T("warp.warped")))
}

// scene returns the sheet's input, and whether it is what the user waits for.
func (w *Window) scene() (render.Input, bool) {
	s, f := w.session.Setup(), w.session.Facts()
	if s == nil {
		return render.Input{}, w.begun
	}
	if f == nil || f.Model == nil {
		return render.Input{}, f != nil
	}
	sc := pictures.Scene{Setup: s, Model: f.Model, Title: pictures.Title(s), Overhang: f.Overhang, Bridged: f.Bridged}
	model, regions := f.Setup.Carried(s, f.Model, f.Regions)
	if sc.Model = model; model != f.Model {
		sc.Overhang, sc.Bridged = pictures.Overhang(regions)
	}
	leaves := s.Leaves()
	if len(regions) == len(leaves) {
		for i, leaf := range leaves {
			g := *regions[i]
			g.Name, g.Spec, g.Field = leaf.Name, leaf.Field, leaf.Field.Lift()
			sc.Regions = append(sc.Regions, &g)
		}
	}
	if run := w.session.Run(); run.Current(s) {
		sc.Log, sc.Hangs = run.Result.Log, run.Result.Hangs
	}
	texts := sheetTexts()
	sc.Decimal = texts.Decimal
	in := sc.Input()
	in.Texts = texts
	w.markChosen(&in, sc.Log)
	in.Snap = w.snapped
	return in, true
}

// sheetTexts are the sheet's words in the language of the window.
func sheetTexts() *render.Texts {
	t := func(key string) string { return i18n.T("sheet." + key) }
	return &render.Texts{
		Elevation: t("elevation"), ElevationMiddle: t("elevationmiddle"), Plan: t("plan"), Pictorial: t("pictorial"),
		EveryShell: t("everyshell"), EveryNth: t("everynth"),
		Title: t("title"), Machine: t("machine"), Zones: t("zones"), Shell: t("shell"), Overhang: t("overhang"),
		KeyShell: t("keyshell"), KeyBead: t("keybead"), KeyHanging: t("keyhanging"), KeyFree: t("keyfree"), KeyBridged: t("keybridged"),
		KeyMidAir: t("keymidair"), KeyFinding: t("keyfinding"), KeyCut: t("keycut"), KeyAxis: t("keyaxis"),
		KeyHidden: t("keyhidden"), KeyHead: t("keyhead"),
		KeyBed: t("keybed"), KeyObstacle: t("keyobstacle"), Bed: t("bed"), Beyond: t("beyond"),
		Scale: t("scale"), Page: t("page"), Of: t("of"), MadeWith: t("madewith"), Program: "Conewright",
		Decimal: strings.Trim(i18n.Number(0.5, 1), "05"),
	}
}

// editOnSheet says what working on the sheet does to the setup.
func (w *Window) editOnSheet() sheet.Edit {
	return sheet.Edit{
		Select:    w.selected,
		MoveAxis:  w.moveAxis,
		MovePoint: w.movePoint,
		MoveCut: func(cut int, by float64) {
			w.session.Preview(func(s *job.Setup) { shiftCut(s, cut, by) })
		},
		TiltCut:   w.tiltCut,
		MovePart:  w.movePart,
		TurnPart:  w.turnPartBy,
		TurnRamp:  w.turnRamp,
		NudgeTurn: w.nudgeTurn,
		Done: func(item drawing.Item) {
			w.snapped, w.held = nil, nil
			w.session.EndPreview(map[drawing.Kind]string{
				drawing.AxisItem: "step.axis", drawing.PointItem: "step.line", drawing.CutItem: "step.cut", drawing.CutTiltItem: "step.tilt",
				drawing.PartItem: "step.seat", drawing.PartTurnItem: "step.turn", drawing.RampItem: "step.toward",
			}[item.Kind])
		},
		Nudge:   w.nudge,
		Hover:   w.hover,
		Click:   w.course.clicked,
		Shown:   func() { w.hover(sheet.Under{}); w.menu.refresh() }, // what was under the pointer moved
		AddCut:  w.addCutAt,
		Context: w.onSheetMenu,
	}
}

// selected opens the zones' page at the zone that was taken hold of.
func (w *Window) selected(item drawing.Item) {
	s := w.session.Setup()
	if s == nil {
		return
	}
	leaves := s.Leaves()
	switch item.Kind {
	case drawing.AxisItem, drawing.RampItem:
		if item.Index < len(leaves) {
			w.chooseZone(leaves[item.Index].Name)
		}
	case drawing.PointItem:
		if leaf, _ := linePoint(s, item.Index); leaf != nil {
			w.chooseZone(leaf.Name)
		}
	case drawing.CutItem, drawing.CutTiltItem:
		if z := cutNode(s, item.Index); z != nil {
			w.chooseZone(z.Over.Leaves()[0].Name)
		}
	case drawing.PartItem, drawing.PartTurnItem:
		w.session.ChoosePart(item.Index)
		w.route.show(w.route.find("part"))
		return
	case drawing.FindingItem, drawing.MidAirItem:
		w.signClicked(item)
		return
	default:
		return
	}
	w.route.show(w.route.find("zones"))
}

// snapReach is how near a place must be to be snapped to, mm.
const snapReach = 0.8

// onGrid rounds to tenths of a mm, a number field's: to the very number that the
// job then says.
func onGrid(v float64) float64 { return math.Round(v*10) / 10 }

// moveAxis shows a zone's axis elsewhere; where the drag isn't free it snaps to
// places that snap knows.
func (w *Window) moveAxis(zone int, to r2.Vec, free bool) {
	w.session.Preview(func(s *job.Setup) {
		leaves := s.Leaves()
		if zone >= len(leaves) || leaves[zone].Field.Axis == nil {
			return
		}
		w.snapped = nil
		if !free {
			to, w.snapped = w.snap(s, zone, to)
		}
		*leaves[zone].Field.Axis = [2]float64{to.X, to.Y}
	})
}

// linePoint returns the zone whose line has the point of an index of
// drawing.PointItem, and which of the line's points it is; nil: none has.
func linePoint(s *job.Setup, index int) (leaf *job.Zone, point int) {
	for _, leaf := range s.Leaves() {
		if n := len(leaf.Field.Line); index < n {
			return leaf, index
		}
		index -= len(leaf.Field.Line)
	}
	return nil, 0
}

// movePoint shows a point of a line elsewhere, as moveAxis shows an axis.
func (w *Window) movePoint(index int, to r2.Vec, free bool) {
	w.session.Preview(func(s *job.Setup) {
		leaf, point := linePoint(s, index)
		if leaf == nil {
			return
		}
		w.snapped = nil
		if !free {
			to, w.snapped = w.snap(s, slices.Index(s.Leaves(), leaf), to)
		}
		leaf.Field.Line[point] = [2]float64{to.X, to.Y}
	})
}

// chooseZone chooses a zone and the part that it belongs to.
func (w *Window) chooseZone(name string) {
	w.zones.chosen = name
	w.session.ChoosePart(partOfZone(w.session.Setup(), name))
}

// partOfZone returns the index of the part that a zone belongs to; -1: none.
func partOfZone(s *job.Setup, zone string) int {
	return slices.IndexFunc(s.Single(), func(one *job.Setup) bool { return leafNamed(one, zone) != nil })
}

// cutNumber returns the cut of an index in pictures.Cuts' order; nil: none.
func cutNumber(s *job.Setup, index int) *job.Cut {
	if z := cutNode(s, index); z != nil {
		return z.Cut
	}
	return nil
}

// cutNode returns the node of the tree with the cut of an index; nil: none.
func cutNode(s *job.Setup, index int) *job.Zone {
	n := 0
	var found *job.Zone
	var walk func(z *job.Zone)
	walk = func(z *job.Zone) {
		if z.Cut == nil {
			return
		}
		walk(z.Under)
		if n == index {
			found = z
		}
		n++
		walk(z.Over)
	}
	for _, one := range s.Single() {
		walk(one.Zones)
	}
	return found
}

// shiftCut moves a cut by mm: up, or to the right where it is steep.
func shiftCut(s *job.Setup, index int, by float64) {
	cut := cutNumber(s, index)
	if cut == nil {
		return
	}
	along := 2
	if drawn := (render.Cut{Normal: normalOf(cut)}); drawn.Steep() {
		along = 0
	}
	cut.Point[along] = onGrid(cut.Point[along] + by)
}

func normalOf(cut *job.Cut) r3.Vec {
	return r3.Vec{X: cut.Normal[0], Y: cut.Normal[1], Z: cut.Normal[2]}
}

// tiltCut turns a cut about its point, radians counter-clockwise as the elevation
// shows it.
func (w *Window) tiltCut(index int, by float64) {
	w.session.Preview(func(s *job.Setup) {
		cut := cutNumber(s, index)
		if cut == nil {
			return
		}
		angle := math.Round(tiltOf(cut) - by*180/math.Pi) // whole degrees
		tilt(cut, math.Min(math.Max(angle, -maxTilt), maxTilt))
	})
}

// maxTilt keeps a dragged cut's normal upward, degrees.
const maxTilt = 85

// nudge moves what is selected by an arrow key's step.
func (w *Window) nudge(item drawing.Item, by r3.Vec) {
	switch item.Kind {
	case drawing.AxisItem:
		w.do("step.axis", func(s *job.Setup) {
			if leaves := s.Leaves(); item.Index < len(leaves) && leaves[item.Index].Field.Axis != nil {
				axis := leaves[item.Index].Field.Axis
				axis[0], axis[1] = axis[0]+by.X, axis[1]+by.Y
			}
		})
	case drawing.PointItem:
		w.do("step.line", func(s *job.Setup) {
			if leaf, point := linePoint(s, item.Index); leaf != nil {
				p := &leaf.Field.Line[point]
				p[0], p[1] = p[0]+by.X, p[1]+by.Y
			}
		})
	case drawing.PartItem:
		w.session.ChoosePart(item.Index)
		w.do("step.seat", func(s *job.Setup) {
			s.MovePart([2]float64{onGrid(s.Part.Seat[0] + by.X), onGrid(s.Part.Seat[1] + by.Y)})
		})
	case drawing.CutItem, drawing.CutTiltItem:
		w.do("step.cut", func(s *job.Setup) { shiftCut(s, item.Index, by.Z) })
	}
}

// askDrawing asks where to save the sheet as SVG, as it is looked at.
func (w *Window) askDrawing() {
	f := w.session.Facts()
	if f == nil || f.Model == nil {
		return
	}
	in, _ := w.scene()
	in = w.sheet.OnPaper(in)
	w.askSave(i18n.T("drawing.title"), w.nameFor(".svg"), func(path string) error {
		data, err := pictures.SVG(render.Sheet(in))
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

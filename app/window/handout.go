package window

import (
	"context"

	"conewright/app/lessons"
	"conewright/app/pictures"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render"
)

// askHandout asks where to save the present sheet as PDF; in a lesson its worksheet
// with the teacher's key.
func (w *Window) askHandout() {
	if w.course.on {
		w.askWorksheets(w.nameFor(".pdf"), *w.course.panel.Lesson())
		return
	}
	f := w.session.Facts()
	if f == nil || f.Model == nil {
		return
	}
	w.askSave(i18n.T("handout.title"), w.nameFor(".pdf"), func(path string) error {
		data, err := w.handout()
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

// askAllWorksheets asks where to save the worksheets of all lessons.
func (w *Window) askAllWorksheets() {
	if w.settingsDir != "" {
		w.askWorksheets("lessons.pdf", lessons.All()...)
	}
}

func (w *Window) askWorksheets(name string, list ...lessons.Lesson) {
	w.askSave(i18n.T("handout.title"), name, func(path string) error {
		data, err := lessons.Worksheets(list, w.settingsDir, usualSheet)
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

// askPaperCone asks where to save a paper cone: of the first cone of the setup, else of
// 45 degrees.
func (w *Window) askPaperCone() {
	angle := 45.0
	if s := w.session.Setup(); s != nil {
		for _, leaf := range s.Leaves() {
			if leaf.Field != nil && leaf.Field.Has("axis") { // the cone alone has one
				angle = leaf.Field.Angle
				break
			}
		}
	}
	w.askSave(i18n.T("papercone.title"), "paper-cone.pdf", func(path string) error {
		data, err := lessons.PaperCone(angle)
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

// usualSheet is the sheet of a setup that isn't the window's.
func usualSheet(s *job.Setup) (render.Input, error) {
	scene, err := pictures.Judged(context.Background(), s)
	if err != nil {
		return render.Input{}, err
	}
	texts := sheetTexts()
	scene.Decimal = texts.Decimal
	in := scene.Input()
	in.Texts = texts
	return in, nil
}

// handout returns the present sheet as PDF.
func (w *Window) handout() ([]byte, error) {
	in, _ := w.scene()
	return lessons.Handout{Input: w.sheet.OnPaper(in), Title: pictures.Title(w.session.Setup())}.PDF()
}

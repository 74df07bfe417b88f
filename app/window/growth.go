package window

import (
	"context"

	"conewright/app/pictures"
	"conewright/geom/job"
	"conewright/i18n"
)

// askGrowth asks where to save a page that shows how the part grows, in level layers
// and in the plan.
func (w *Window) askGrowth() {
	f := w.session.Facts()
	if f == nil || f.Model == nil || !f.Judged {
		return
	}
	w.askSave(i18n.T("growth.title"), w.nameFor(".html"), func(path string) error {
		data, err := growthPage(w.session.Setup(), f.Model)
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

// growthPage returns the page of a setup whose part is read.
func growthPage(s *job.Setup, m *job.Model) ([]byte, error) {
	var scenes [2]pictures.Scene
	var figures [2]string
	for i, setup := range []*job.Setup{pictures.LevelLayers(s), s} {
		scene, err := pictures.JudgedOf(context.Background(), setup, m)
		if err != nil {
			return nil, err
		}
		scene.Decimal = sheetTexts().Decimal
		scenes[i] = scene
		figures[i] = hangsText(&scene)
	}
	from, to := scenes[0].Input(), scenes[1].Input()
	from.Texts, to.Texts = sheetTexts(), sheetTexts()
	return pictures.Growth(from, to, pictures.GrowthWords{
		Language: i18n.Chosen(), Title: pictures.Title(s),
		Level: i18n.T("growth.level"), Plan: i18n.T("growth.plan"), LevelFigure: figures[0], PlanFigure: figures[1],
		Play: i18n.T("time.play"), Pause: i18n.T("time.pause"), Moment: i18n.T("growth.moment"), Hangs: i18n.T("growth.hangs"),
	})
}

// hangsText says how much of a judged scene hangs.
func hangsText(scene *pictures.Scene) string {
	area, starts := 0.0, 0
	for _, g := range scene.Regions {
		area, starts = area+g.Judged.Overhang.Area, starts+len(g.Judged.Starts)
	}
	return i18n.T("growth.overhang", "area", i18n.Number(area, 0)) + ", " + i18n.N("zones.midair", starts)
}

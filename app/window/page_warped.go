package window

import (
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2/container"
)

// newWarpedPage is operation 50: what to set in the user's own slicer for each
// zone's warped mesh. A run writes the meshes.
func newWarpedPage(w *Window) *page {
	card := remark()
	p := &page{number: "50", key: "warped", body: container.NewVBox(card)}
	p.show = func() (string, mark) {
		s := w.session.Setup()
		if s == nil {
			say(card, "")
			return i18n.T("state.later"), markNone
		}
		say(card, setupCard(s))
		run := w.session.Run()
		if !run.Current(s) {
			return i18n.T("warped.later"), markNone
		}
		n := 0
		for _, z := range run.Result.Log.Zones {
			n += z.WarpedTriangles
		}
		return i18n.N("warped.state", n, "tolerance", i18n.Number(s.Tolerance, 3)), markDone
	}
	return p
}

// setupCard says what to set for each zone in a slicer.
func setupCard(s *job.Setup) string {
	text := i18n.T("warped.how")
	for _, leaf := range s.Zones.Leaves() {
		n := s.Numbers(leaf.Field)
		text += "\n\n" + i18n.T("warped.zone", "zone", leaf.Name,
			"height", i18n.Number(n.LayerHeight, 3), "width", i18n.Number(n.LineWidth, 3))
	}
	return text
}

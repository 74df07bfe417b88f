package window

import (
	"math"
	"path/filepath"
	"strings"

	"conewright/app/focus"
	"conewright/app/look"
	"conewright/app/session"
	"conewright/geom/brought"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// fitPaper shows on the overlay pane how a brought motion file lies over its warped
// mesh, height by height, and tells what was found.
type fitPaper struct {
	w       *Window
	zone    string       // whose file is shown
	of      *brought.Fit // what the picture holds
	title   *widget.Label
	text    *widget.Label
	height  *widget.Label
	slider  *widget.Slider
	picture *fitPicture
}

func newFitPaper(w *Window) *paper {
	f := &fitPaper{w: w, title: widget.NewLabel(""), text: widget.NewLabel(""), height: widget.NewLabel(""),
		slider: widget.NewSlider(0, 1), picture: newFitPicture()}
	w.fit = f
	f.text.Wrapping = fyne.TextWrapWord
	f.slider.Step = 1
	f.slider.OnChanged = func(v float64) { f.at(int(math.Round(v))) }
	low := container.NewBorder(nil, nil, nil, f.height, container.NewThemeOverride(f.slider, look.Track{}))
	words := container.New(&fixedWidth{fitTextWidth}, focus.NewText(f.text))
	view := container.NewBorder(w.paperHead(f.title), nil, nil, words, container.NewBorder(nil, low, nil, nil, f.picture))
	return &paper{key: "fit", page: "motion", view: view, show: f.show}
}

// fitTextWidth is that of the words beside the picture, in the toolkit's units.
const fitTextWidth = 270

// look shows a zone's fit on the overlay pane.
func (f *fitPaper) look(zone string) {
	f.zone = zone
	f.w.pane.lay("fit")
}

// tell shows a fit on the overlay pane that has just become known, while one waits for it
// at operation 60.
func (f *fitPaper) tell(fit *session.Fit) {
	if fit.Active || fit.Told {
		return
	}
	fit.Told = true
	pane := f.w.pane.open
	if open := f.w.route.open; open != nil && open.key == "motion" && fit.Result != nil && (pane == nil || pane.key == "fit") {
		f.look(fit.Zone)
	}
}

// fitOf returns how the file of a zone fits the present setup, nil where there is
// none. It is found out only while operation 60 is open: a file may be large.
func (w *Window) fitOf(zone string) *session.Fit {
	file, ok := w.motion.motion[zone]
	if open := w.route.open; !ok || open == nil || open.key != "motion" {
		return nil
	}
	return w.session.FindFit(zone, file)
}

func (f *fitPaper) show() {
	fit := f.w.fitOf(f.zone)
	f.title.SetText(i18n.T("motion.has", "zone", f.zone, "file", filepath.Base(f.w.motion.motion[f.zone])))
	if fit == nil || fit.Active || fit.Result == nil {
		f.of = nil
		f.picture.show(nil, 0)
		f.slider.Disable()
		f.height.SetText("")
		f.text.SetText(fitLine(fit))
		return
	}
	if f.of == fit.Result {
		return
	}
	f.of = fit.Result
	f.text.SetText(fitStory(fit.Result))
	enable(f.slider, len(f.of.Heights) > 1)
	f.slider.Max = math.Max(float64(len(f.of.Heights)-1), 1)
	f.slider.Value = float64(f.of.Shown)
	f.slider.Refresh()
	f.at(f.of.Shown)
}

// at shows a height by its index.
func (f *fitPaper) at(i int) {
	if f.of == nil || i < 0 || i >= len(f.of.Heights) {
		return
	}
	f.height.SetText(i18n.T("fit.height", "z", i18n.Number(f.of.Heights[i].Z, 2)))
	f.picture.show(f.of, i)
}

// fitLine says in a line or two how a file fits.
func fitLine(fit *session.Fit) string {
	switch {
	case fit == nil:
		return ""
	case fit.Active:
		return i18n.T("fit.active", "percent", i18n.Integer(int(100*fit.Done)))
	case fit.Result == nil:
		return errorText(fit.Err)
	}
	b := fit.Result
	if !b.Fits {
		for i := range b.Findings {
			if b.Findings[i].Rank == job.Stop {
				return i18n.T("fit.refused", "zone", b.Zone, "why", findingText(&b.Findings[i]))
			}
		}
	}
	text := i18n.T("fit.found", "zone", b.Zone, "x", i18n.Number(b.Offset.X, 2), "y", i18n.Number(b.Offset.Y, 2),
		"z", i18n.Number(b.Offset.Z, 2), "error", i18n.Number(b.Error, 2))
	if b.LeftOut > 0 {
		text += " " + i18n.N("fit.off", b.LeftOut)
	}
	return text
}

// fitStory says all that is known of a file.
func fitStory(b *brought.Fit) string {
	lines := []string{fitLine(&session.Fit{Result: b})}
	if b.Fits {
		lines = append(lines,
			i18n.N("fit.layers", b.Layers, "bottom", i18n.Number(b.Bottom, 2), "top", i18n.Number(b.Top, 2)),
			i18n.T("fit.lines", "first", i18n.Integer(b.FirstLine), "last", i18n.Integer(b.LastLine)))
	} else if len(b.Heights) > 0 {
		lines = append(lines, i18n.T("fit.best", "x", i18n.Number(b.Offset.X, 2), "y", i18n.Number(b.Offset.Y, 2),
			"z", i18n.Number(b.Offset.Z, 2), "error", i18n.Number(b.Error, 2)))
	}
	stop := false
	for i := range b.Findings {
		f := &b.Findings[i]
		if f.Code == "off-part" || f.Rank == job.Stop && !stop && !b.Fits {
			stop = stop || f.Rank == job.Stop
			continue // said above
		}
		lines = append(lines, i18n.T("rank."+f.Rank)+" – "+findingText(f))
	}
	return strings.Join(lines, "\n\n")
}

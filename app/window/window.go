// Package window is Conewright's main window: the route on the left, the sheet
// in the middle, progress and findings at the bottom, the menu. Everything here
// draws from the session and writes to it; nothing is read back from a label.
package window

import (
	"path/filepath"
	"strings"

	"conewright/app/focus"
	"conewright/app/session"
	"conewright/app/settings"
	"conewright/app/sheet"
	"conewright/app/trace"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/i18n"
	"conewright/render"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"
)

// Options are what a window starts with. Only App is needed.
type Options struct {
	App fyne.App
	// Post runs a function on the event loop, later: the one door to it. Nil is
	// the toolkit's own.
	Post func(func())
	// SettingsDir keeps settings and autosave; "" keeps nothing.
	SettingsDir string
	Trace       *trace.Log
}

// Window is the main window. Its methods belong to the event loop.
type Window struct {
	app         fyne.App
	win         fyne.Window
	session     *session.Session
	settings    settings.Settings
	settingsDir string
	trace       *trace.Log

	route   *route
	zones   *zonesPage
	shells  *shellsPage
	motion  *motionPage
	check   *checkPage
	own     *ownSlicer
	course  *course
	present presenter
	warp    *widget.Slider // draws the part from real to warped
	sheet   *sheet.Sheet
	pane    *overlayPane

	card        *cardEditor
	guide       *guide
	fit         *fitPaper
	beside      *beside
	calibration *calibration
	pieces      *testPieces
	measured    measured

	bottom     *bottom
	ends       *ends
	mine       myMachines
	first      *choice       // the machine, on the empty sheet
	firstFacts *widget.Label // what it is
	firstAsk   *widget.Label // asks for the machine; empty once one is chosen
	firstTake  *focus.Button
	welcome    fyne.CanvasObject
	menu       *menu
	onSheet    shown
	begun      bool         // what was given on the command line is being opened, or nothing was
	snapped    *render.Snap // while an axis is dragged: what it has snapped to
	held       *mesh.Mesh   // while a part is turned: it as it stood
	asking     bool         // a dialog is open: shortcuts wait
	restored   bool         // the setup was unsaved when the program last ended
	post       func(func()) // the door to the event loop
}

// Least and first sizes of the window, in the toolkit's units.
const (
	firstWidth, firstHeight = 1240, 730
	routeWidth              = 300 // for texts of normal size
)

// New builds the window; Show shows it.
func New(o Options) *Window {
	if o.Post == nil {
		o.Post = fyne.Do
	}
	w := &Window{
		app: o.App, win: o.App.NewWindow("Conewright"),
		session: session.New(o.Post), settingsDir: o.SettingsDir, trace: o.Trace, post: o.Post,
	}
	if w.settingsDir != "" {
		w.settings = settings.Load(w.settingsDir)
	}
	w.useMachines(w.settings.Machines, w.settings.Machine)
	w.session.UseMaterial(w.settings.MaterialOfNext())
	w.session.UsePrintSettings(w.settings.PrintSettingsOfNext())
	w.own, w.measured = newOwnSlicer(w), firstMeasured()
	w.course, w.present = newCourse(w), presenter{w: w}
	w.ends = newEnds(w)
	w.build()
	w.session.Listen(w.refresh)
	if w.settingsDir != "" {
		w.session.Autosave(w.settingsDir)
	}
	w.win.SetCloseIntercept(func() { w.ifSaved(w.close) })
	w.win.SetOnDropped(func(_ fyne.Position, files []fyne.URI) { w.dropped(files) })
	w.win.Canvas().SetOnTypedRune(w.course.typed)
	w.win.Canvas().SetOnTypedKey(w.typedKey)
	w.win.SetMaster()
	width, height := float32(firstWidth), float32(firstHeight)
	if w.settings.Width > 0 {
		width, height = w.settings.Width, w.settings.Height
	}
	w.win.Resize(fyne.NewSize(width, height))
	w.refresh()
	return w
}

// build puts the parts together. The language must be chosen before.
func (w *Window) build() {
	w.sheet = sheet.New(sheet.Options{Post: w.post, Trace: w.trace, Edit: w.editOnSheet()})
	w.route = newRoute([]*page{
		newPartPage(w), newMachinePage(w), newZonesPage(w), newShellsPage(w),
		newWarpedPage(w), newMotionPage(w), newCheckPage(w),
	}, func(p *page) string { return i18n.T("route." + p.key) }, w.current)
	w.bottom = newBottom(w)
	w.welcome = newWelcome(w)
	w.pane = newOverlayPane(w)
	side := w.course.beside(w.route.view)
	middle := container.New(layout.NewCustomPaddedLayout(8, 8, 4, 8), container.NewStack(w.sheet, w.welcome, w.pane.view))
	// In the order of Tab: the route, the sheet, the bottom bar.
	foot := container.NewVBox(w.course.strip, w.bottom.view)
	body := container.New(layout.NewBorderLayout(nil, foot, side, nil), side, middle, foot)
	w.menu = newMenu(w)
	w.win.SetContent(body)
}

// setLanguage builds the window anew in a language; "" is the system's.
func (w *Window) setLanguage(tag string) {
	if err := i18n.Use(tag); err != nil {
		w.complain(err)
		return
	}
	next := w.settings
	next.Language = tag
	open, motion := "", w.motion.motion
	if w.route.open != nil {
		open = w.route.open.key
	}
	w.remember(next)
	w.build()
	w.motion.motion = motion
	w.route.show(w.route.find(open))
	w.refresh()
}

// refresh draws everything from the session.
func (w *Window) refresh() {
	w.route.refresh()
	w.ends.refresh()
	w.bottom.refresh()
	w.showFirst()
	w.menu.refresh()
	w.pane.refresh()
	w.course.refresh()
	w.showOnSheet()
	title := "Conewright"
	if name := w.session.Name(); name != "" {
		title = name + " – Conewright"
		if w.session.Unsaved() {
			title = "• " + title
		}
	}
	if w.win.Title() != title {
		w.win.SetTitle(title)
	}
}

// Show shows the window and opens files given on the command line.
func (w *Window) Show(files []string) {
	w.win.Show()
	switch {
	case w.restore():
		w.restored = true
		w.route.show(w.route.find("zones"))
		w.refresh()
		if len(files) > 0 && !w.session.Holds(files[0]) { // nothing is lost over a given file
			w.ifSaved(func() { w.Open(files[0]) })
		}
	case len(files) > 0:
		w.Open(files[0])
	default:
		w.route.show(w.route.find("part"))
	}
	w.begun, w.onSheet = true, shown{}
	w.showOnSheet()
}

// restore takes up what a kill left unsaved.
func (w *Window) restore() bool {
	if w.settingsDir == "" {
		return false
	}
	found, err := w.session.Restore(w.settingsDir)
	if err != nil {
		w.complain(err)
	}
	return found
}

// openOrAdd opens a file. Where a plan is open and the file is a part, it asks what to
// do with the part: the plan needn't be lost.
func (w *Window) openOrAdd(path string) {
	w.course.end()
	plan := w.session.Path() != "" || w.session.Unsaved() // else there is none to lose
	if !plan || !endingFilter(partEndings[:3]).Matches(storage.NewFileURI(path)) {
		w.ifSaved(func() { w.Open(path) })
		return
	}
	if w.asking {
		return
	}
	anew := func() { w.ifSaved(func() { w.Open(path) }) }
	text := widget.NewLabel(i18n.T("openpart.text", "file", filepath.Base(path), "name", w.session.Name()))
	text.Wrapping = fyne.TextWrapWord
	w.showNote(i18n.T("openpart.title"), text, fyne.NewSize(620, 200), answer{key: "cancel"},
		answer{key: "openpart.replace", do: func() { w.replacePart(path) }},
		answer{key: "openpart.add", do: func() { w.addPart(path) }},
		answer{key: "openpart.new", do: anew, main: true})
}

// Open opens a part or a job, or says why not.
func (w *Window) Open(path string) {
	if w.openCard(path) {
		return
	}
	if err := w.session.Open(path); err != nil {
		w.complain(err)
		return
	}
	w.motion.motion, w.restored = nil, false
	w.own.reset()
	w.sheet.Fit()
	w.remember(w.settings.WithRecent(path))
	w.route.show(w.route.find("zones"))
}

func (w *Window) dropped(files []fyne.URI) {
	if len(files) == 0 || w.asking {
		return
	}
	path := files[0].Path()
	if w.pane.open != nil && w.pane.open.key == "card" && strings.EqualFold(filepath.Ext(path), ".json") {
		w.card.load(path)
		return
	}
	if w.openCard(path) {
		return // nothing is lost by it
	}
	if endingFilter(partEndings).Matches(files[0]) {
		w.openOrAdd(path)
		return
	}
	if w.session.Setup() != nil {
		w.motion.takeMotion(w.zoneFor(path), path)
		w.route.show(w.route.find("motion"))
	}
}

func (w *Window) close() {
	w.endSession()
	w.win.Close()
}

// endSession remembers the window's size and gives up what isn't saved.
func (w *Window) endSession() {
	size := w.win.Canvas().Size()
	next := w.settings
	next.Width, next.Height = size.Width, size.Height
	w.remember(next)
	w.session.DropAutosaved() // before Close, which leaves the file to other windows
	w.session.Close()
}

// remember keeps settings. That they can't be written is no reason to disturb.
func (w *Window) remember(s settings.Settings) {
	w.settings = s
	if w.settingsDir != "" {
		if err := s.Save(w.settingsDir); err != nil {
			fyne.LogError("settings", err)
		}
	}
	if w.menu != nil {
		w.menu.refresh()
	}
}

// do is one step of the history, named by a key of the catalogue.
func (w *Window) do(step string, change func(*job.Setup)) {
	if err := w.session.Do(step, change); err != nil {
		w.complain(err)
		w.refresh()
	}
}

// number is an entry for a number of the setup; setting it is a step of the
// history.
func (w *Window) number(decimals int, step float64, name string, set func(*job.Setup, float64)) *numberField {
	return newNumberField(decimals, step, func(v float64) error {
		return w.session.Do(name, func(s *job.Setup) { set(s, v) })
	}, w.tellNumber)
}

// tellNumber says under the open page's fields why a number is refused; nil
// clears it.
func (w *Window) tellNumber(err error) {
	if w.route.open != nil {
		w.route.open.tell(fieldErrorText(err))
	}
}

// fixedHeight gives its content the height of an object, shown or not, and all
// the width there is.
type fixedHeight struct{ of fyne.CanvasObject }

func (f *fixedHeight) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(objects[0].MinSize().Width, f.of.MinSize().Height)
}

func (f *fixedHeight) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(0, 0))
	objects[0].Resize(size)
}

// fixedWidth gives its content a width and all the height there is.
type fixedWidth struct{ width float32 }

func (f *fixedWidth) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(f.width, objects[0].MinSize().Height)
}

func (f *fixedWidth) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(0, 0))
	objects[0].Resize(size)
}

// Package sheet is the widget that shows the drawing and lets it be worked on
// by pointer and keys: drag the axis in the plan, a cut in the elevation, turn
// and zoom the pictorial view.
//
// The widget holds how the drawing is looked at; what is drawn comes from
// outside by Show, and what a drag means goes outside by Edit. Drawing happens
// off the event loop, always of the newest state.
package sheet

import (
	"image"
	"time"

	appearance "conewright/app/look" // look is a type here
	"conewright/app/session"
	"conewright/app/trace"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/raster"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Edit tells what happens on the sheet. All are called on the event loop; nil
// ones are left out.
type Edit struct {
	Select    func(drawing.Item)                    // Nothing: deselected
	MoveAxis  func(zone int, to r2.Vec, free bool)  // bed coordinates; during a drag
	MovePoint func(point int, to r2.Vec, free bool) // of a line; the same
	MoveCut   func(cut int, by float64)             // mm from where the drag began: up, or to the right where it is steep
	TiltCut   func(cut int, by float64)             // radians from where the drag began, counter-clockwise in the elevation
	MovePart  func(part int, by r2.Vec, free bool)  // mm from where the drag began
	TurnPart  func(part int, by float64, free bool) // radians from where the drag began, counter-clockwise from above
	TurnRamp  func(zone int, by float64, free bool) // the same
	NudgeTurn func(item drawing.Item, by float64)   // by the arrow keys, degrees: 1, with Shift 10
	Done      func(drawing.Item)                    // the drag ended
	Nudge     func(item drawing.Item, by r3.Vec)    // by the arrow keys, mm; a cut's way is Z, as in MoveCut
	Click     func(Under)                           // the primary button, without a drag
	Hover     func(Under)                           // zero: the pointer left
	Shown     func()                                // another choice of views is shown
	AddCut    func(at r3.Vec)                       // a double click in the elevation
	Context   func(item drawing.Item, at fyne.Position, world r3.Vec, view drawing.View)
}

// Under is what lies under the pointer.
type Under struct {
	View drawing.View // Sheet: none
	At   r3.Vec       // bed coordinates, in the view's plane
	Item drawing.Item // Nothing: nothing to take hold of or to click
}

// Options are what a sheet starts with.
type Options struct {
	Post  func(func()) // runs a function on the event loop, later
	Trace *trace.Log
	Edit  Edit
	Least fyne.Size // that the sheet needs; zero: the smallest that can be read with all its views
}

// Sheet is the widget.
type Sheet struct {
	widget.BaseWidget
	options Options

	in     render.Input // what to draw; its view and options are the widget's own
	usable bool         // the input is what the user waits for
	look   look
	drag   drag
	hover  Under // the pointer

	raster         *canvas.Raster
	pointer        *canvas.Circle // the ring that goes with the pointer
	frames         session.Latest[request]
	pool           chan *image.RGBA // pictures that aren't shown
	shown          *image.RGBA
	drawn          *drawing.Drawing // what is shown; nil at first
	asked, seen    int              // numbers of the newest frame asked for and shown
	stale          bool             // the input has changed since a frame was asked for
	enlarged       float64          // how much larger than usual the paper is drawn; 0: 1
	ringed         bool             // a ring goes with the pointer
	rested         bool             // the pointer holds something and stands still
	since          time.Time        // of the input that is acted on; zero: now
	pixels         image.Point      // size of the raster
	focused, shift bool
	drafter        *render.Drafter // these two are used by one frame at a time
	painter        raster.Painter
}

var (
	_ fyne.Widget         = (*Sheet)(nil)
	_ fyne.Draggable      = (*Sheet)(nil)
	_ fyne.Scrollable     = (*Sheet)(nil)
	_ fyne.Focusable      = (*Sheet)(nil)
	_ fyne.DoubleTappable = (*Sheet)(nil)
	_ desktop.Mouseable   = (*Sheet)(nil)
	_ desktop.Hoverable   = (*Sheet)(nil)
	_ desktop.Keyable     = (*Sheet)(nil)
	_ desktop.Cursorable  = (*Sheet)(nil)
)

// New returns an empty sheet.
func New(o Options) *Sheet {
	s := &Sheet{options: o, pool: make(chan *image.RGBA, buffers), drafter: render.NewDrafter()}
	for range buffers {
		s.pool <- new(image.RGBA)
	}
	s.look = firstLook()
	s.frames.Work, s.frames.Patience = s.frame, session.Forever
	s.pointer = newPointerRing()
	s.raster = canvas.NewRaster(s.picture)
	s.raster.ScaleMode = canvas.ImageScalePixels // it has the pixels of the screen
	s.ExtendBaseWidget(s)
	return s
}

// Draw draws an input. Its view, flat and options are left out of account: they
// are the widget's. usable tells that this is what the user waits for, not a
// sheet while something is read.
func (s *Sheet) Draw(in render.Input, usable bool) {
	s.keepFit(&in)
	s.in, s.usable = in, usable
	switch {
	case s.drag.waits != nil && s.seen != s.asked:
		s.stale = true // the frame of the pointer's newest place, which is next, shows it
	case s.drag.active:
		s.ask(trace.Drag)
	default:
		s.ask(trace.Other)
	}
}

// Selected returns what is selected.
func (s *Sheet) Selected() drawing.Item { return s.look.selected }

// Select selects an item, without telling Edit.
func (s *Sheet) Select(item drawing.Item) {
	if s.look.selected != item {
		s.look.selected = item
		s.ask(trace.Other)
	}
}

// unitsPerMM is how large a millimetre of paper is, in the toolkit's units: that
// of a usual screen, so that letters of 3.5 mm read well.
const unitsPerMM = 3.6

// A sheet under the least size, mm, has no room for its parts: then the paper is
// drawn smaller, as far as its pixels still show letters. A view that has the sheet
// for itself needs less.
const (
	leastWidth  = 200.
	leastHeight = 150.
	singleShare = 0.6
	leastPixels = 3.3 // a mm
)

// Enlarge draws letters and lines so many times as large as usual, as far as the
// sheet has room for its parts.
func (s *Sheet) Enlarge(times float64) {
	if times != s.enlarged {
		s.enlarged = times
		s.ask(trace.Zoom)
	}
}

// unit returns how large a millimetre of paper is drawn, in the toolkit's units.
func (s *Sheet) unit() float64 {
	size := s.Size()
	if s.pixels.X < 1 || size.Width < 1 {
		return unitsPerMM
	}
	fits := min(float64(size.Width)/leastWidth, float64(size.Height)/leastHeight)
	if s.look.only != drawing.Sheet && s.enlarged > 1 {
		fits /= singleShare
	}
	density := float64(s.pixels.X) / float64(size.Width)
	return max(min(unitsPerMM*max(s.enlarged, 1), fits), min(unitsPerMM, leastPixels/density))
}

// paper returns the size of the sheet on which the widget draws, mm.
func (s *Sheet) paper() r2.Vec {
	size, unit := s.Size(), s.unit()
	return r2.Vec{X: float64(size.Width) / unit, Y: float64(size.Height) / unit}
}

// onPaper returns where a place of the widget is on paper.
func (s *Sheet) onPaper(p fyne.Position) r2.Vec {
	unit := s.unit()
	return r2.Vec{X: float64(p.X) / unit, Y: float64(p.Y) / unit}
}

// ask requests a frame of the present state.
func (s *Sheet) ask(why string) {
	if s.pixels.X < 1 || s.pixels.Y < 1 {
		return // not laid out yet; the first picture asks again
	}
	in := s.in
	s.look.apply(&in)
	in.Options.Size, in.Options.Screen = s.paper(), true
	in.Options.Coarse = s.drag.active && !s.rested && in.Mesh != nil && len(in.Mesh.Facets) > coarseFrom
	in.Options.Moving = s.drag.active && !s.rested && in.Mesh != nil && len(in.Mesh.Facets) > looseFrom
	s.rested, s.stale = false, false
	s.asked++
	input := s.since
	if input.IsZero() {
		input = time.Now()
	}
	s.frames.Ask(request{number: s.asked, in: in, size: s.pixels, scale: float64(s.pixels.X) / in.Options.Size.X,
		palette: s.palette(), why: why, asked: input, usable: s.usable})
}

// From how many facets on a drag draws more coarsely, and from how many on it only
// samples lines more loosely, which isn't seen.
const (
	coarseFrom = 200_000
	looseFrom  = 20_000
)

func (s *Sheet) palette() drawing.Palette { return appearance.Palette() }

// picture hands the newest finished picture over; a raster of another size asks
// for one of its own.
func (s *Sheet) picture(w, h int) image.Image {
	if size := (image.Point{X: w, Y: h}); size != s.pixels {
		s.pixels = size
		s.ask(trace.Other)
	}
	if s.shown == nil {
		return image.NewRGBA(image.Rect(0, 0, 1, 1)) // nothing yet; it is stretched
	}
	return s.shown
}

// MinSize keeps room for the smallest sheet that can be read.
func (s *Sheet) MinSize() fyne.Size {
	if s.options.Least.IsZero() {
		return fyne.NewSize(480, 360)
	}
	return s.options.Least
}

// CreateRenderer is the toolkit's door.
func (s *Sheet) CreateRenderer() fyne.WidgetRenderer {
	return &renderer{s: s, border: newBorder(), ring: s.pointer}
}

type renderer struct {
	s      *Sheet
	border border
	ring   *canvas.Circle
	dark   drawing.Palette
}

func (r *renderer) Layout(size fyne.Size) {
	r.s.raster.Resize(size)
	r.showBorder(size)
}
func (r *renderer) MinSize() fyne.Size { return r.s.MinSize() }

// Refresh is called when the theme changes or the focus comes and goes.
func (r *renderer) Refresh() {
	r.showBorder(r.s.Size())
	if p := r.s.palette(); p != r.dark {
		r.dark = p
		r.s.ask(trace.Other)
	}
}

func (r *renderer) showBorder(size fyne.Size) {
	th, v := r.s.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	if r.s.focused {
		r.border.show(size, 2, th.Color(theme.ColorNamePrimary, v))
	} else {
		r.border.show(size, 1, th.Color(theme.ColorNameSeparator, v))
	}
}

func (r *renderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.s.raster, r.border[0], r.border[1], r.border[2], r.border[3], r.ring}
}
func (r *renderer) Destroy() { r.s.frames.Stop() }

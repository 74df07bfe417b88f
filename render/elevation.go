package render

import (
	"fmt"
	"math"

	"conewright/render/drawing"
	"conewright/render/hidden"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// elevationKey is what the lines of the elevation are made from.
type elevationKey struct {
	stamp    modelStamp
	y        float64
	sampling sampling
	shell    float64
	nth      int
	zone     int     // the last that is drawn with shells: that which is being printed
	newest   float64 // its newest shell
	window   hidden.Window
	loose    bool // what is made anew is sampled loosely
}

// elevationLines are the lines of the section in bed coordinates.
type elevationLines struct {
	outline ln.Paths // closed: the last point is the first
	beyond  ln.Paths // visible edges behind the section
	shells  ln.Paths
	bands   ln.Paths  // crossed strokes along unsupported outline
	sides   []float64 // x of each zone's right side at half its height
}

// gaps are how far shells stay apart on paper, mm.
const (
	flatGap      = 1.5
	pictorialGap = 1.9
)

func (s *sketch) elevationKey(m *model, f *drawing.ViewFrame) elevationKey {
	zone, newest := s.printing(m), s.newestShell(m)
	if zone < 0 {
		zone = len(m.zones) - 1
	}
	return elevationKey{stamp: m.stamp, y: sectionAt(s.in, m), sampling: newSampling(f.Scale, m.solid.Size()), shell: s.in.Shell,
		nth: s.nth(f.Scale, flatGap), zone: zone, newest: newest, window: windowOf(m, f)}
}

func (s *sketch) elevation(m *model, f drawing.ViewFrame, k elevationKey, lines elevationLines) {
	f.Focus.Y = k.y
	s.drawing.Frames = append(s.drawing.Frames, f)
	if !s.in.Options.NoShells {
		s.paths(&f, style{pen: drawing.Shell}, lines.shells)
	}
	s.paths(&f, style{pen: drawing.Hatch}, lines.bands)
	s.paths(&f, style{pen: drawing.Visible}, lines.beyond)
	s.paths(&f, style{pen: drawing.Visible}, lines.outline)
	s.ground(m, &f)
	s.bedInElevation(m, &f)
	s.heightAndWidth(m, &f)
	s.angles(m, &f, k.y, lines.sides)
	s.cutMarks(m, &f, k.y)
	s.axisHandles(m, &f)
	if s.in.Options.Only == drawing.Elevation {
		s.elevationAxes(m, &f)
	}
	s.marks(m, &f)
	s.head(&f)
	s.elevationTitle(m, &f, k.nth)
}

func (s *sketch) elevationTitle(m *model, f *drawing.ViewFrame, nth int) {
	t := s.in.Texts
	words := t.ElevationMiddle
	if len(axes(m)) > 0 {
		words = t.Elevation
	}
	words = sectionLetter + "–" + sectionLetter + "  " + words
	switch {
	case len(m.zones) == 0 || s.in.Options.NoShells:
		s.title(f, words)
	case nth == 1:
		s.title(f, words, t.EveryShell)
	default:
		s.title(f, words, fmt.Sprintf(t.EveryNth, nth))
	}
}

// nth returns how many shells go on one that is drawn.
func (s *sketch) nth(scale, gap float64) int {
	if s.in.Options.Coarse {
		gap *= 2
	}
	return everyNth(s.in.Shell, scale, gap)
}

// sectionAt returns the y of the section plane.
func sectionAt(in *Input, m *model) float64 {
	if in.Options.Section != nil {
		return *in.Options.Section
	}
	if sel := in.Options.Selected; sel.Kind == drawing.AxisItem && sel.Index >= 0 && sel.Index < len(m.zones) {
		if y, ok := m.zones[sel.Index].lineAt(); ok {
			return y
		}
	}
	for i := len(m.zones) - 1; i >= 0; i-- {
		if y, ok := m.zones[i].lineAt(); ok {
			return y
		}
	}
	return m.middle().Y
}

// lineAt returns the y of the line that a zone's field is about: of its axis, or
// of the middle of the line's extent.
func (z *zoneModel) lineAt() (y float64, ok bool) {
	line := z.field.Line()
	if len(line) == 0 {
		return 0, false
	}
	low, high := line[0].Y, line[0].Y
	for _, p := range line {
		low, high = math.Min(low, p.Y), math.Max(high, p.Y)
	}
	return (low + high) / 2, true
}

// marks draws mid-air starts and findings; they are shown through material, so
// that none is missed.
func (s *sketch) marks(m *model, f *drawing.ViewFrame) {
	add := func(kind drawing.Kind, places []r3.Vec) {
		for i, p := range places {
			at := f.Paper(m.raised(p))
			if !f.Rect.Contains(at) || i >= mostMarks {
				continue
			}
			item := drawing.Item{Kind: kind, Index: i}
			s.drawing.Marks = append(s.drawing.Marks, drawing.Mark{View: f.View, Item: item, At: at, Radius: markRadius, Tone: s.tone(item)})
			s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item, At: at, To: at})
		}
	}
	add(drawing.FindingItem, s.in.Findings)
	add(drawing.MidAirItem, s.in.MidAir)
}

const (
	markRadius = 1.7
	mostMarks  = 500
)

// ground draws the bed under the elevation, as far as the machine's travel goes.
func (s *sketch) ground(m *model, f *drawing.ViewFrame) {
	lo, hi := m.solid.Min, m.solid.Max
	a := f.Paper(r3.Vec{X: lo.X})
	b := f.Paper(r3.Vec{X: hi.X})
	const over = 9.0
	from, to := s.onBed(f, a.X-over, b.X+over)
	if from >= to { // the part stands beside the bed
		return
	}
	clipLine([]r2.Vec{{X: from, Y: a.Y}, {X: to, Y: b.Y}}, f.Rect, func(p []r2.Vec) {
		s.line(style{view: f.View, pen: drawing.Ground}, p...)
	})
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

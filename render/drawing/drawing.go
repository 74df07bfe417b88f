// Package drawing is the model of a drawing in lines: plain data, made by
// render, shown by svg and raster, asked by the window what lies under the
// pointer.
//
// Lengths and places are mm of paper. The origin is the sheet's upper left
// corner, x runs right, y runs down, as on screens and in SVG.
package drawing

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Drawing is a sheet. Whoever gets one may keep it; nothing changes it later.
type Drawing struct {
	Size    r2.Vec // mm
	Frames  []ViewFrame
	Lines   []Line
	Texts   []Text
	Marks   []Mark
	Handles []Handle
	Fit     Fit
}

// Fit is the box that elevation and plan were fitted to, in bed coordinates, mm.
type Fit struct{ Min, Max r3.Vec }

// View tells which part of the sheet something belongs to.
type View uint8

// The parts of a sheet.
const (
	Sheet View = iota // frame, title block, scale bar
	Elevation
	Plan
	Pictorial
	viewCount
)

var viewNames = [viewCount]string{"sheet", "elevation", "plan", "pictorial"}

// String returns the view's name, as used for groups in SVG.
func (v View) String() string {
	if v < viewCount {
		return viewNames[v]
	}
	return "unknown"
}

// Views returns all parts of a sheet in drawing order.
func Views() []View { return []View{Sheet, Elevation, Plan, Pictorial} }

// Tone is a shade of ink. What it tells is always told by line kind, mark or
// words too.
type Tone uint8

// The tones.
const (
	Ink    Tone = iota // black on paper, white on dark
	Faint              // secondary words and lines
	Accent             // what is selected or dragged
	toneCount
)

// String returns the tone's name.
func (t Tone) String() string {
	return [...]string{"ink", "faint", "accent"}[t%toneCount]
}

// Line is a polyline drawn with a pen.
type Line struct {
	View   View
	Pen    Pen
	Tone   Tone
	Closed bool
	Points []r2.Vec
}

// Anchor tells where a text's place lies in it, horizontally.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Role tells what a text is for.
type Role uint8

// The roles of texts.
const (
	Label   Role = iota // names of fields and views
	Value               // contents of the title block
	Measure             // dimensions
	Tag                 // letters and numbers of cuts and sections
)

// Text is one line of words.
type Text struct {
	View   View
	Role   Role
	Tone   Tone
	At     r2.Vec  // of the anchor, on the baseline
	Size   float64 // height of the letters' em, mm
	Anchor Anchor
	Turned bool // a quarter turn counter-clockwise: reads from the right side of the sheet
	Halo   bool // paper shows round the letters, so that lines don't run through them
	Words  string
}

// Kind tells what a mark, a handle or a selection stands for.
type Kind uint8

// The kinds of items.
const (
	Nothing      Kind = iota
	AxisItem          // a zone's axis; Index of the zone
	CutItem           // a cut, moved along its normal; Index of the cut
	CutTiltItem       // a cut's end, which tilts it; Index of the cut
	MidAirItem        // a mid-air start; Index in the input
	FindingItem       // a finding; Index in the input
	TitleItem         // the title of a view; Index the view
	PointItem         // a point of the line that a field is about; Index counts those of all zones
	PartItem          // a part on the bed; Index of the part
	PartTurnItem      // the knob that turns a part on the bed; Index of the part
	RampItem          // the arrow toward which a ramp falls; Index of the zone
)

// Item names something that can be selected or moved.
type Item struct {
	Kind  Kind
	Index int
}

// Mark is a sign at a place: a circled cross for a mid-air start, a circled
// exclamation mark for a finding, a circle with a cross beyond it for an axis.
type Mark struct {
	View   View
	Tone   Tone
	Item   Item
	At     r2.Vec
	Radius float64 // mm
}

// Handle is a place where something can be taken hold of. A handle with To
// differing from At can be grabbed anywhere along the segment between them.
type Handle struct {
	View   View
	Item   Item
	At, To r2.Vec
	// End tells the ends of a cut apart: -1 the left one, +1 the right one.
	End int
	// Area is an outline: the handle can be grabbed anywhere in it where no other
	// handle is within reach. At and To are its middle then.
	Area []r2.Vec
}

// Strokes returns the lines inside the mark's circle: a cross for a mid-air
// start, a stroke and a point for a finding, an upright cross for an axis.
func (m *Mark) Strokes() [][]r2.Vec {
	switch m.Item.Kind {
	case MidAirItem:
		d := m.Radius * 0.7071
		return [][]r2.Vec{
			{{X: m.At.X - d, Y: m.At.Y - d}, {X: m.At.X + d, Y: m.At.Y + d}},
			{{X: m.At.X - d, Y: m.At.Y + d}, {X: m.At.X + d, Y: m.At.Y - d}},
		}
	case AxisItem:
		d := 1.8 * m.Radius
		return [][]r2.Vec{
			{{X: m.At.X - d, Y: m.At.Y}, {X: m.At.X + d, Y: m.At.Y}},
			{{X: m.At.X, Y: m.At.Y - d}, {X: m.At.X, Y: m.At.Y + d}},
		}
	case FindingItem:
		return [][]r2.Vec{
			{{X: m.At.X, Y: m.At.Y - m.Radius*0.6}, {X: m.At.X, Y: m.At.Y + m.Radius*0.15}},
			{{X: m.At.X, Y: m.At.Y + m.Radius*0.55}, {X: m.At.X, Y: m.At.Y + m.Radius*0.6}},
		}
	}
	return nil
}

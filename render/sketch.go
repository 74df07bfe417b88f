package render

import (
	"math"

	"conewright/render/drawing"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sketch is a drawing on its way.
type sketch struct {
	drawing *drawing.Drawing
	in      *Input
	store   []r2.Vec                     // points of many lines in a row, to spare allocations
	shown   struct{ bed, obstacle bool } // of the machine's bed, for the key
}

// style is how a line is drawn.
type style struct {
	view drawing.View
	pen  drawing.Pen
	tone drawing.Tone
}

// Sizes of letters, mm of the em; their capitals are 0.72 of it.
const (
	labelSize   = 2.9
	valueSize   = 3.5
	measureSize = 3.4
	tagSize     = 4.2
)

// line adds a polyline in paper coordinates, not clipped.
func (s *sketch) line(st style, points ...r2.Vec) {
	s.drawing.Lines = append(s.drawing.Lines, drawing.Line{View: st.view, Pen: st.pen, Tone: st.tone, Points: points})
}

// loop adds a closed polyline in paper coordinates, not clipped.
func (s *sketch) loop(st style, points ...r2.Vec) {
	s.drawing.Lines = append(s.drawing.Lines, drawing.Line{View: st.view, Pen: st.pen, Tone: st.tone, Points: points, Closed: true})
}

func (s *sketch) text(t drawing.Text) {
	if t.Words != "" {
		s.drawing.Texts = append(s.drawing.Texts, t)
	}
}

// textIn adds a text whose place lies in a view's frame; others are left out,
// as when zoomed.
func (s *sketch) textIn(f *drawing.ViewFrame, t drawing.Text) {
	if f.Rect.Contains(t.At) {
		t.View = f.View
		s.text(t)
	}
}

// paths adds lines in bed coordinates, projected and clipped to the frame.
func (s *sketch) paths(f *drawing.ViewFrame, st style, paths ln.Paths) {
	st.view = f.View
	for _, p := range paths {
		s.begin()
		for _, v := range p {
			s.point(f.Paper(r3.Vec(v)))
		}
		s.end(f, st)
	}
}

// curve adds a line in bed coordinates, projected and clipped to the frame.
func (s *sketch) curve(f *drawing.ViewFrame, st style, points ...r3.Vec) {
	st.view = f.View
	s.begin()
	for _, v := range points {
		s.point(f.Paper(v))
	}
	s.end(f, st)
}

// begin starts a line in the store.
func (s *sketch) begin() {
	if len(s.store) > cap(s.store)*3/4 {
		s.store = make([]r2.Vec, 0, 1<<13)
	} else {
		s.store = s.store[len(s.store):]
	}
}

// finest is the distance on paper, mm, under which the next point of a line is
// left out.
const finest = 0.03

func (s *sketch) point(p r2.Vec) {
	if n := len(s.store); n > 1 && math.Abs(p.X-s.store[n-1].X)+math.Abs(p.Y-s.store[n-1].Y) < finest {
		s.store[n-1] = p
		return
	}
	s.store = append(s.store, p)
}

// end puts the line that begin started into the drawing.
func (s *sketch) end(f *drawing.ViewFrame, st style) {
	clipLine(s.store, f.Rect, func(points []r2.Vec) {
		s.drawing.Lines = append(s.drawing.Lines, drawing.Line{View: st.view, Pen: st.pen, Tone: st.tone, Points: points[:len(points):len(points)]})
	})
}

// arrowLength and arrowHalf give open heads of 30 degrees (ISO 129-1, from
// memory).
const (
	arrowLength = 2.2
	arrowHalf   = 0.58
)

// arrow draws an open head at tip, pointing in direction d (unit, paper).
func (s *sketch) arrow(st style, tip, d r2.Vec) {
	back := r2.Sub(tip, r2.Scale(arrowLength, d))
	side := r2.Vec{X: -d.Y * arrowHalf, Y: d.X * arrowHalf}
	s.line(st, r2.Add(back, side), tip, r2.Sub(back, side))
}

func (s *sketch) tone(item drawing.Item) drawing.Tone {
	if s.in.Options.Selected == item && item.Kind != drawing.Nothing {
		return drawing.Accent
	}
	return drawing.Ink
}

// selected reports whether an item of one of the kinds is selected, by index.
func (s *sketch) selected(index int, kinds ...drawing.Kind) bool {
	for _, k := range kinds {
		if s.in.Options.Selected == (drawing.Item{Kind: k, Index: index}) {
			return true
		}
	}
	return false
}

// circle returns a circle as a polygon that nobody sees as one.
func circle(at r2.Vec, radius float64) []r2.Vec {
	const n = 40
	points := make([]r2.Vec, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		points[i] = r2.Vec{X: at.X + radius*cos, Y: at.Y + radius*sin}
	}
	return points
}

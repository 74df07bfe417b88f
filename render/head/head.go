// Package head draws a machine's head to scale, from the side and from above
// (first angle, ISO 5456-2: the plan lies under the elevation): profile and
// boxes, tilt, swivel axis, bed.
package head

import (
	"math"
	"strconv"
	"strings"

	"conewright/geom/machine"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Options say how large the drawing is and what it says.
type Options struct {
	Size r2.Vec // of the paper, mm
	// Words on the drawing: Side and Above name the views, Axis the swivel axis,
	// Bed the bed.
	Side, Above, Axis, Bed string
	Decimal                string // decimal sign; "": a point
}

// Sizes on paper, mm.
const (
	margin    = 6.
	gap       = 10.
	labelSize = 3.5
	axisOver  = 3.  // of the nozzle's axis beyond the profile
	circle    = 48  // corners of a circle
	mostBoxes = 256 // a card may hold as many
)

// arcAt is where the tilt's arc stands, as a share of the profile's length: far
// out, so that it can be read.
const arcAt = 0.8

// Draw returns the drawing of a card's head. The tip stands on the bed at
// azimuth 0, leaning to the right. A card that doesn't check is drawn as far as
// its numbers allow.
func Draw(card *machine.Card, o Options) *drawing.Drawing {
	s := sketch{d: &drawing.Drawing{Size: o.Size}, o: o, shape: newShape(card)}
	if s.lay() {
		s.side()
		s.above()
		s.bar()
	}
	return s.d
}

// shape is the head in space, mm: tip at the origin, x toward the lean, z up.
type shape struct {
	rings    []ring
	boxes    []machine.Box
	tilt     float64 // radians
	letter   string  // of the swivel, "": none
	axis     r2.Vec  // of the swivel
	min, max r3.Vec
}

// ring is a circle square to the nozzle's axis.
type ring struct {
	middle r3.Vec
	radius float64
}

func newShape(card *machine.Card) shape {
	h := shape{tilt: card.Head.Tilt * math.Pi / 180, min: r3.Vec{X: -1, Y: -1}, max: r3.Vec{X: 1, Y: 1, Z: 1}}
	sin, cos := math.Sincos(h.tilt)
	for _, p := range card.Head.Profile {
		g := ring{r3.Vec{X: p[0] * sin, Z: p[0] * cos}, p[1]}
		h.rings = append(h.rings, g)
		reach := r3.Vec{X: p[1] * cos, Y: p[1], Z: p[1] * sin}
		h.include(r3.Sub(g.middle, reach))
		h.include(r3.Add(g.middle, reach))
	}
	h.include(r3.Vec{Z: arcAt * h.length()})
	for _, b := range card.Head.Boxes[:min(len(card.Head.Boxes), mostBoxes)] {
		h.boxes = append(h.boxes, b)
		h.include(r3.Vec{X: b.Min[0], Y: b.Min[1], Z: b.Min[2]})
		h.include(r3.Vec{X: b.Max[0], Y: b.Max[1], Z: b.Max[2]})
	}
	if s := card.Swivel; s != nil {
		h.letter, h.axis = s.Letter, r2.Vec{X: -s.TipOffset[0], Y: -s.TipOffset[1]}
		h.include(r3.Vec{X: h.axis.X, Y: h.axis.Y})
	}
	return h
}

// length returns how far the profile reaches along the nozzle's axis, mm.
func (h *shape) length() float64 {
	if len(h.rings) == 0 {
		return 1
	}
	return math.Max(1, r3.Norm(h.rings[len(h.rings)-1].middle))
}

func (h *shape) include(p r3.Vec) {
	h.min = r3.Vec{X: math.Min(h.min.X, p.X), Y: math.Min(h.min.Y, p.Y), Z: math.Min(h.min.Z, p.Z)}
	h.max = r3.Vec{X: math.Max(h.max.X, p.X), Y: math.Max(h.max.Y, p.Y), Z: math.Max(h.max.Z, p.Z)}
}

// sketch lays lines on paper.
type sketch struct {
	d      *drawing.Drawing
	o      Options
	shape  shape
	scale  float64 // mm of paper a mm
	tip    r2.Vec  // in the elevation
	center r2.Vec  // the tip in the plan
}

// scales are those of ISO 5455, greatest first (from memory).
var scales = []float64{20, 10, 5, 2, 1, 1 / 2., 1 / 5., 1 / 10., 1 / 20., 1 / 50., 1 / 100.}

// lay chooses the greatest scale that fits, and where the views stand. It
// reports whether there is room for any.
func (s *sketch) lay() bool {
	size := r3.Sub(s.shape.max, s.shape.min)
	room := r2.Vec{X: s.o.Size.X - 2*margin, Y: s.o.Size.Y - 2*margin - gap - 4*labelSize}
	for _, scale := range scales {
		if size.X*scale <= room.X && (size.Z+size.Y)*scale <= room.Y {
			s.scale = scale
			left := (s.o.Size.X - size.X*scale) / 2
			spare := (room.Y - (size.Z+size.Y)*scale) / 3 // over, between and under the views
			s.tip = r2.Vec{X: left - s.shape.min.X*scale, Y: margin + 2*labelSize + spare + s.shape.max.Z*scale}
			top := s.tip.Y + gap - s.shape.min.Z*scale + labelSize + spare
			s.center = r2.Vec{X: s.tip.X, Y: top + s.shape.max.Y*scale}
			return true
		}
	}
	return false
}

func (s *sketch) paper(x, z float64) r2.Vec {
	return r2.Vec{X: s.tip.X + x*s.scale, Y: s.tip.Y - z*s.scale}
}

func (s *sketch) plan(x, y float64) r2.Vec {
	return r2.Vec{X: s.center.X + x*s.scale, Y: s.center.Y - y*s.scale}
}

func (s *sketch) line(view drawing.View, pen drawing.Pen, closed bool, points ...r2.Vec) {
	s.d.Lines = append(s.d.Lines, drawing.Line{View: view, Pen: pen, Closed: closed, Points: points})
}

func (s *sketch) words(view drawing.View, at r2.Vec, anchor drawing.Anchor, words string) {
	if words != "" {
		s.d.Texts = append(s.d.Texts, drawing.Text{View: view, Role: drawing.Label, Tone: drawing.Faint, At: at, Size: labelSize, Anchor: anchor, Halo: true, Words: words})
	}
}

// number writes a figure with no more digits than it needs.
func (s *sketch) number(v float64) string {
	text := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	if s.o.Decimal != "" {
		text = strings.Replace(text, ".", s.o.Decimal, 1)
	}
	return text
}

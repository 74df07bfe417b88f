// Package movement sketches a whole machine at given words, in parallel projection:
// bed, head, axes and which way growing words lead. Lines only; nothing hides
// anything.
package movement

import (
	"math"

	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Options say how large the sketch is and what it stresses.
type Options struct {
	Size   r2.Vec         // of the paper, mm
	Words  machine.Words  // where the machine stands
	Stress *describe.Move // the axis that is drawn in the accent tone; nil: none
	Front  string         // word at the bed's front edge; "": none
}

// Sizes on paper and in the machine, mm.
const (
	margin    = 12.
	labelSize = 3.5
	circle    = 48
	plate     = 6.  // thickness of the bed
	halfBelt  = 140 // of an axis without end, drawn about the tip's place
	mostBoxes = 256
)

// The view: from the right, the front and above.
var (
	toward = r3.Unit(r3.Vec{X: 0.45, Y: -0.8, Z: 0.5})
	right  = r3.Unit(r3.Cross(r3.Vec{Z: 1}, toward))
	up     = r3.Cross(toward, right)
)

// Draw returns the sketch. The card was checked.
func Draw(card *machine.Card, o Options) *drawing.Drawing {
	s := &sketch{d: &drawing.Drawing{Size: o.Size}, o: o, card: card, k: machine.NewKinematics(card)}
	s.frame = drawing.ViewFrame{View: drawing.Pictorial, Right: right, Up: up, Toward: toward, Scale: 1,
		Rect: drawing.Rect{Max: o.Size}}
	s.plan()
	s.fit()
	s.bed()
	s.head()
	s.turning()
	s.linear()
	return s.d
}

// sketch lays lines on paper.
type sketch struct {
	d     *drawing.Drawing
	o     Options
	card  *machine.Card
	k     *machine.Kinematics
	frame drawing.ViewFrame
	lo    r2.Vec // of the bed, bed coordinates
	hi    r2.Vec
	round bool // the bed is a disc, for it turns
}

// plan finds the bed's outline.
func (s *sketch) plan() {
	x, y := s.card.BedCentre()
	limits := [2]machine.Limits{s.card.Travel.X, s.card.Travel.Y}
	if s.card.Slants() {
		t := s.card.PartTravel()
		limits = [2]machine.Limits{t.X, t.Y}
	}
	half := r2.Vec{X: halfWidth(limits[0]), Y: halfWidth(limits[1])}
	for _, a := range s.card.Turning() {
		if a.On == machine.OnBed && describe.Upright(a.About) {
			s.round = true
			x, y = a.At[0], a.At[1]
			half.X = math.Min(half.X, half.Y)
			half.Y = half.X
		}
	}
	s.lo, s.hi = r2.Vec{X: x - half.X, Y: y - half.Y}, r2.Vec{X: x + half.X, Y: y + half.Y}
}

func halfWidth(l machine.Limits) float64 {
	if half := (l[1] - l[0]) / 2; !math.IsInf(half, 0) {
		return half
	}
	return halfBelt
}

// fit chooses scale and place: a ball about bed and head fits the paper, so that
// nothing grows or shrinks while axes move.
func (s *sketch) fit() {
	middle := r2.Scale(0.5, r2.Add(s.lo, s.hi))
	least := r3.Vec{X: s.lo.X, Y: s.lo.Y}
	reach := 60 + s.headLength()
	radius := r3.Norm(r3.Sub(least, r3.Vec{X: middle.X, Y: middle.Y}))
	s.frame.Focus = r3.Vec{X: middle.X, Y: middle.Y, Z: reach / 3}
	radius = math.Max(radius, reach) * 1.1
	s.frame.Scale = math.Max(math.Min(s.o.Size.X/2-margin, s.o.Size.Y/2-margin), 1) / radius
	s.frame.Origin = r2.Scale(0.5, s.o.Size)
}

// headLength returns how far the head reaches up from the tip, mm.
func (s *sketch) headLength() (far float64) {
	for _, p := range s.card.Head.Profile {
		far = math.Max(far, p[0])
	}
	for _, b := range s.card.Head.Boxes {
		far = math.Max(far, b.Max[2])
	}
	return far
}

func (s *sketch) line(pen drawing.Pen, tone drawing.Tone, closed bool, points ...r3.Vec) {
	l := drawing.Line{View: drawing.Pictorial, Pen: pen, Tone: tone, Closed: closed}
	for _, p := range points {
		l.Points = append(l.Points, s.frame.Paper(p))
	}
	s.d.Lines = append(s.d.Lines, l)
}

func (s *sketch) label(at r3.Vec, tone drawing.Tone, words string) {
	p := s.frame.Paper(at)
	s.d.Texts = append(s.d.Texts, drawing.Text{View: drawing.Pictorial, Role: drawing.Label, Tone: tone,
		At: r2.Vec{X: p.X, Y: p.Y - 1}, Size: labelSize, Anchor: drawing.Middle, Halo: true, Words: words})
}

// stressed reports that an axis is the one to be stressed.
func (s *sketch) stressed(m describe.Move) bool { return s.o.Stress != nil && *s.o.Stress == m }

// bodyTone is that of head or bed: accent while the stressed axis moves it.
func (s *sketch) bodyTone(on string) drawing.Tone {
	m := s.o.Stress
	if m == nil {
		return drawing.Ink
	}
	moves := machine.OnHead
	if m.Turn >= 0 {
		moves = s.k.Axes()[m.Turn].On
	}
	if moves == on {
		return drawing.Accent
	}
	return drawing.Ink
}

// bed draws the plate, with a line from its middle to the back that shows how it
// turns.
func (s *sketch) bed() {
	tone := s.bodyTone(machine.OnBed)
	at := func(x, y, z float64) r3.Vec { return s.k.BedAt(s.o.Words.Turn, r3.Vec{X: x, Y: y, Z: z}) }
	middle := r2.Scale(0.5, r2.Add(s.lo, s.hi))
	for _, z := range []float64{0, -plate} {
		pen := drawing.Visible
		if z < 0 {
			pen = drawing.Shell
		}
		if !s.round {
			s.line(pen, tone, true, at(s.lo.X, s.lo.Y, z), at(s.hi.X, s.lo.Y, z), at(s.hi.X, s.hi.Y, z), at(s.lo.X, s.hi.Y, z))
			continue
		}
		var rim []r3.Vec
		for i := range circle {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / circle)
			rim = append(rim, at(middle.X+(s.hi.X-middle.X)*cos, middle.Y+(s.hi.X-middle.X)*sin, z))
		}
		s.line(pen, tone, true, rim...)
	}
	back := s.hi.Y - (s.hi.Y-middle.Y)*0.15
	s.line(drawing.Dimension, tone, false, at(middle.X, middle.Y, 0), at(middle.X, back, 0))
	s.line(drawing.Dimension, tone, false, at(middle.X-6, back-12, 0), at(middle.X, back, 0), at(middle.X+6, back-12, 0))
	if s.o.Front != "" {
		s.label(r3.Vec{X: middle.X, Y: s.lo.Y - 6*labelSize/s.frame.Scale}, drawing.Faint, s.o.Front)
	}
}

// head draws the profile's circles and its outline, and the boxes.
func (s *sketch) head() {
	tone := s.bodyTone(machine.OnHead)
	w := s.o.Words
	sin, cos := math.Sincos(s.card.Head.Tilt * math.Pi / 180)
	nozzle := r3.Vec{X: sin, Z: cos}
	e1, e2 := r3.Vec{X: cos, Z: -sin}, r3.Vec{Y: 1}
	var left, right []r3.Vec
	across := s.across(w, nozzle)
	for i, p := range s.card.Head.Profile {
		middle := r3.Scale(p[0], nozzle)
		var ring []r3.Vec
		for k := range circle {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / circle)
			ring = append(ring, s.k.HeadAt(w, r3.Add(middle, r3.Add(r3.Scale(p[1]*cos, e1), r3.Scale(p[1]*sin, e2)))))
		}
		if i > 0 {
			s.line(drawing.Shell, tone, true, ring...)
		}
		m := s.k.HeadAt(w, middle)
		left, right = append(left, r3.Sub(m, r3.Scale(p[1], across))), append(right, r3.Add(m, r3.Scale(p[1], across)))
	}
	s.line(drawing.Visible, tone, false, left...)
	s.line(drawing.Visible, tone, false, right...)
	tip := s.k.HeadAt(w, r3.Vec{})
	s.line(drawing.Axis, drawing.Faint, false, tip, r3.Vec{X: tip.X, Y: tip.Y}) // the tip's foot shows how it stands over the bed
	for _, b := range s.card.Head.Boxes[:min(len(s.card.Head.Boxes), mostBoxes)] {
		s.box(b, tone)
	}
}

// across returns the unit vector square to the nozzle and to the view.
func (s *sketch) across(w machine.Words, nozzle r3.Vec) r3.Vec {
	d := r3.Sub(s.k.HeadAt(w, nozzle), s.k.HeadAt(w, r3.Vec{}))
	v := r3.Cross(d, toward)
	if n := r3.Norm(v); n > 1e-6 {
		return r3.Scale(1/n, v)
	}
	return right
}

func (s *sketch) box(b machine.Box, tone drawing.Tone) {
	corner := func(i int) r3.Vec {
		p := r3.Vec{X: b.Min[0], Y: b.Min[1], Z: b.Min[2]}
		if i&1 != 0 {
			p.X = b.Max[0]
		}
		if i&2 != 0 {
			p.Y = b.Max[1]
		}
		if i&4 != 0 {
			p.Z = b.Max[2]
		}
		return s.k.HeadAt(s.o.Words, p)
	}
	s.line(drawing.Shell, tone, true, corner(0), corner(1), corner(3), corner(2))
	s.line(drawing.Shell, tone, true, corner(4), corner(5), corner(7), corner(6))
	for i := range 4 {
		s.line(drawing.Shell, tone, false, corner(i), corner(i+4))
	}
}

package render

import (
	"conewright/geom/field"
	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// Sizes of the key to the signs, mm of paper.
const (
	keyPitch  = 4.4  // from row to row
	keyPad    = 1.7  // inside its box
	keySample = 9.   // width of a sign
	keyWords  = 11.4 // from a sign's left side to its words
	keyMost   = 34.  // width of words; longer ones are cut off
	keySpare  = 4.   // that a column takes where there is room
	keyUsual  = 8    // rows for which room is kept, so that views stay where they are
)

// keyPlace is where the key goes: at the left of the title block, or on it where
// there is no room.
type keyPlace struct {
	corner  r2.Vec // lower right, or lower left on the block
	onBlock bool
	columns int
	width   float64
}

// keyWidth returns how wide a column must be for all words that a key can hold.
func (t *Texts) keyWidth() float64 {
	widest := 0.0
	for _, words := range []string{t.KeyShell, t.KeyBead, t.KeyHanging, t.KeyFree, t.KeyBridged, t.KeyMidAir, t.KeyFinding, t.KeyCut, t.KeyAxis, t.KeyHidden, t.KeyHead, t.KeyBed, t.KeyObstacle} {
		widest = max(widest, lettering.Width(words, labelSize))
	}
	return min(widest, keyMost) + keyWords + keyPad
}

// placeKey chooses a place for the key right of x, whatever it will hold.
func (l *layout) placeKey(in *Input, x float64) {
	column := in.Texts.keyWidth()
	gap := l.block.Min.X - x - gutter/2
	columns := min(int(gap/column), 2)
	if columns > 0 {
		l.key = keyPlace{corner: r2.Vec{X: l.block.Min.X, Y: l.block.Max.Y}, columns: columns, width: min(gap, float64(columns)*(column+keySpare))}
		return
	}
	columns = max(int(l.block.Width()/column), 1)
	l.key = keyPlace{corner: l.block.Min, onBlock: true, columns: columns, width: l.block.Width()}
}

// box returns the key's box for so many signs.
func (k *keyPlace) box(signs int) drawing.Rect {
	rows := (signs + k.columns - 1) / k.columns
	height := float64(rows)*keyPitch + 2*keyPad
	if k.onBlock {
		return drawing.Rect{Min: r2.Vec{X: k.corner.X, Y: k.corner.Y - height}, Max: r2.Vec{X: k.corner.X + k.width, Y: k.corner.Y}}
	}
	return drawing.Rect{Min: r2.Vec{X: k.corner.X - k.width, Y: k.corner.Y - height}, Max: k.corner}
}

// clearOfKey shortens a view's place where the key will stand in it.
func (l *layout) clearOfKey(r drawing.Rect) drawing.Rect {
	if l.noKey {
		return r
	}
	b := l.key.box(keyUsual)
	if r.Max.X > b.Min.X && r.Min.X < b.Max.X && r.Max.Y > b.Min.Y-gutter/2 {
		r.Max.Y = max(b.Min.Y-gutter/2, r.Min.Y)
	}
	return r
}

// sign is a row of the key: words, and what draws the sign in a box round at.
type sign struct {
	words string
	draw  func(at r2.Vec)
}

// drawKey explains the signs that are on the sheet, and no others.
func (s *sketch) drawKey(m *model, l *layout) {
	signs := s.signs(m)
	if len(signs) == 0 {
		return
	}
	b := l.key.box(len(signs))
	s.box(drawing.Rule, b)
	rows := (len(signs) + l.key.columns - 1) / l.key.columns
	column := l.key.width / float64(l.key.columns)
	for i, e := range signs {
		at := r2.Vec{X: b.Min.X + keyPad + float64(i/rows)*column + keySample/2, Y: b.Min.Y + keyPad + (float64(i%rows)+0.5)*keyPitch}
		e.draw(at)
		s.text(drawing.Text{Role: drawing.Label, Tone: drawing.Faint, Size: labelSize,
			At:    r2.Vec{X: at.X - keySample/2 + keyWords, Y: at.Y + lettering.CapHeight*labelSize/2},
			Words: lettering.Fit(e.words, labelSize, column-keyWords-keyPad)})
	}
}

// signs returns what of the drawing so far is to be explained, in a fixed order.
func (s *sketch) signs(m *model) []sign {
	var pens [drawing.PenCount]bool
	for i := range s.drawing.Lines {
		pens[s.drawing.Lines[i].Pen] = true
	}
	marks := map[drawing.Kind]bool{}
	for i := range s.drawing.Marks {
		marks[s.drawing.Marks[i].Item.Kind] = true
	}
	cuts := false
	for _, h := range s.drawing.Handles {
		cuts = cuts || h.Item.Kind == drawing.CutItem
	}
	t := s.in.Texts
	var found []sign
	add := func(there bool, words string, draw func(at r2.Vec)) {
		if there {
			found = append(found, sign{words, draw})
		}
	}
	add(pens[drawing.Shell], t.KeyShell, func(at r2.Vec) { s.shellSign(m, at) })
	add(pens[drawing.Bead], t.KeyBead, s.beadSign)
	add(pens[drawing.Hanging], t.KeyHanging, func(at r2.Vec) { s.lineSign(drawing.Hanging, at) })
	add(pens[drawing.Hatch] && m.overhang != nil, t.KeyFree, func(at r2.Vec) { s.hatchSign(at, crossedLeans) })
	add(pens[drawing.Hatch] && m.bridged != nil, t.KeyBridged, func(at r2.Vec) { s.hatchSign(at, parallelLeans) })
	add(marks[drawing.MidAirItem], t.KeyMidAir, func(at r2.Vec) { s.markSign(drawing.MidAirItem, at) })
	add(marks[drawing.FindingItem], t.KeyFinding, func(at r2.Vec) { s.markSign(drawing.FindingItem, at) })
	add(cuts, t.KeyCut, s.cutSign)
	add(pens[drawing.Axis], t.KeyAxis, func(at r2.Vec) { s.lineSign(drawing.Axis, at) })
	add(pens[drawing.Hidden], t.KeyHidden, func(at r2.Vec) { s.lineSign(drawing.Hidden, at) })
	add(pens[drawing.Head], t.KeyHead, func(at r2.Vec) { s.lineSign(drawing.Head, at) })
	add(s.shown.bed, t.KeyBed, func(at r2.Vec) { s.lineSign(drawing.Ground, at) })
	add(s.shown.obstacle, t.KeyObstacle, s.obstacleSign)
	return found
}

func (s *sketch) lineSign(pen drawing.Pen, at r2.Vec) {
	s.line(style{pen: pen}, r2.Vec{X: at.X - keySample/2, Y: at.Y}, r2.Vec{X: at.X + keySample/2, Y: at.Y})
}

// shellSign draws shells as the section shows them: chevrons of cones, else
// straight lines.
func (s *sketch) shellSign(m *model, at r2.Vec) {
	fall := 0.0
	for _, z := range m.zones {
		switch z.field.Curvature() {
		case field.Concave:
			fall = -1
		case field.Convex, field.Mixed:
			fall = 1
		}
	}
	const half, gap = keySample / 2, 1.3
	for k := -1.; k <= 1; k++ {
		tip := r2.Vec{X: at.X, Y: at.Y + k*gap - fall*0.7}
		s.line(style{pen: drawing.Shell}, r2.Vec{X: tip.X - half, Y: tip.Y + fall*1.4}, tip, r2.Vec{X: tip.X + half, Y: tip.Y + fall*1.4})
	}
}

// beadSign draws a bead that turns round and comes back.
func (s *sketch) beadSign(at r2.Vec) {
	const half, gap = keySample / 2, 0.7
	turn := circle(r2.Vec{X: at.X + half - gap, Y: at.Y}, gap)
	points := []r2.Vec{{X: at.X - half, Y: at.Y - gap}}
	for i := range len(turn)/2 + 1 { // the right half, from above
		points = append(points, turn[(len(turn)*3/4+i)%len(turn)])
	}
	s.line(style{pen: drawing.Bead}, append(points, r2.Vec{X: at.X - half, Y: at.Y + gap})...)
}

// hatchSign draws a piece of hatch whose strokes lean the given ways.
func (s *sketch) hatchSign(at r2.Vec, ways []float64) {
	const half, high, pitch = keySample / 2, 1.5, 1.5
	r := drawing.Rect{Min: r2.Vec{X: at.X - half, Y: at.Y - high}, Max: r2.Vec{X: at.X + half, Y: at.Y + high}}
	for _, way := range ways {
		lean := high
		if way < 0 {
			lean = -high
		}
		for x := r.Min.X - 2*high; x < r.Max.X+2*high; x += pitch {
			clipLine([]r2.Vec{{X: x - lean, Y: r.Max.Y}, {X: x + lean, Y: r.Min.Y}}, r, func(p []r2.Vec) {
				if r2.Norm(r2.Sub(p[1], p[0])) > finest { // not in a corner
					s.line(style{pen: drawing.Hatch}, p...)
				}
			})
		}
	}
	s.box(drawing.Rule, r)
}

// obstacleSign draws a box with its diagonals.
func (s *sketch) obstacleSign(at r2.Vec) {
	const half, high = keySample / 2, 1.5
	a, c := r2.Vec{X: at.X - half, Y: at.Y - high}, r2.Vec{X: at.X + half, Y: at.Y + high}
	b, d := r2.Vec{X: c.X, Y: a.Y}, r2.Vec{X: a.X, Y: c.Y}
	st := style{pen: drawing.Ground}
	s.loop(st, a, b, c, d)
	s.line(st, a, c)
	s.line(st, b, d)
}

func (s *sketch) markSign(kind drawing.Kind, at r2.Vec) {
	s.drawing.Marks = append(s.drawing.Marks, drawing.Mark{Item: drawing.Item{Kind: kind}, At: at, Radius: markRadius})
}

// cutSign draws a cut's end: the line, and the triangle to what prints later.
func (s *sketch) cutSign(at r2.Vec) {
	const half = keySample / 2
	at.Y += 1.2
	left := r2.Vec{X: at.X - half, Y: at.Y}
	s.line(style{pen: drawing.Cut}, left, r2.Vec{X: at.X + half, Y: at.Y})
	s.cutTriangle(drawing.Sheet, drawing.Ink, left, r2.Vec{X: 1}, r2.Vec{Y: -1}, 0.7,
		drawing.Rect{Min: r2.Sub(at, r2.Vec{X: keySample, Y: keySample}), Max: r2.Add(at, r2.Vec{X: keySample, Y: keySample})})
}

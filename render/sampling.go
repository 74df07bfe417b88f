package render

import (
	"math"

	"conewright/render/drawing"
	"conewright/render/hidden"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sampling says how finely lines are sampled, mm of the part: the step between
// samples, the precision of where a stretch ends, and the pitch of hatches.
type sampling struct{ step, precision, pitch float64 }

// Steps on paper, mm. A feature under half a millimetre of paper doesn't matter. An
// end that is off by a tenth of a thin line's width can't be seen.
const (
	paperStep      = 0.6
	paperPrecision = 0.02
	paperPitch     = 1.9 // of hatches
)

// Shares of the part's size under which steps don't go, however far a view is
// zoomed: time would grow with the zoom, and a part file has no finer features.
const (
	leastStep      = 1. / 2000
	leastPrecision = 1e-6
)

// newSampling returns the sampling for a scale, in steps of a quarter octave, so that
// zooming doesn't make everything anew all the time, and the hatch's pitch in
// steps of 1, 2, 5, so that its lines stay where they are.
func newSampling(scale, size float64) sampling {
	s := math.Exp2(math.Ceil(math.Log2(scale)*4) / 4)
	return sampling{
		step:      math.Max(paperStep/s, leastStep*size),
		precision: math.Max(paperPrecision/s, leastPrecision*size),
		pitch:     round125(paperPitch / scale),
	}
}

// How much more loosely lines are sampled while something moves, steps and the ends
// of stretches: what is hidden in less than some pixels may be overlooked then, and
// ends stay within a third of one.
const (
	looseStep      = 2
	loosePrecision = 4
)

// loose returns the sampling for lines that are made anew while something moves.
func (g sampling) loose() sampling {
	return sampling{step: looseStep * g.step, precision: loosePrecision * g.precision, pitch: g.pitch}
}

// windowOf returns the window of a frame: none where all of the part lies in
// it. It is wider than the frame and stands on a grid, so that a pan makes it
// anew only now and then.
func windowOf(m *model, f *drawing.ViewFrame) hidden.Window {
	at, reach := f.Paper(m.middle()), m.radius*f.Scale
	if f.Rect.Min.X <= at.X-reach && at.X+reach <= f.Rect.Max.X && f.Rect.Min.Y <= at.Y-reach && at.Y+reach <= f.Rect.Max.Y {
		return hidden.Window{}
	}
	w := hidden.Window{Right: f.Right, Up: f.Up}
	stepX, stepY := f.Rect.Width()/f.Scale/2, f.Rect.Height()/f.Scale/2
	middle := f.World(f.Rect.Center())
	x := math.Round(r3.Dot(middle, f.Right)/stepX) * stepX
	y := math.Round(r3.Dot(middle, f.Up)/stepY) * stepY
	w.Min, w.Max = r2.Vec{X: x - 1.6*stepX, Y: y - 1.6*stepY}, r2.Vec{X: x + 1.6*stepX, Y: y + 1.6*stepY}
	return w
}

// everyNth returns how many shells go on one that is drawn, so that drawn ones
// stay gap mm of paper apart, square to themselves.
func everyNth(shell, scale, gap float64) int {
	least := gap / (shell * scale)
	for power := 1.; power < mostNth; power *= 10 {
		for _, n := range [...]float64{1, 2, 3, 4, 5, 6, 8} {
			if n*power >= least*(1-1e-9) {
				return int(n * power)
			}
		}
	}
	return mostNth
}

// mostNth bounds how many shells may go on one that is drawn.
const mostNth = 1_000_000

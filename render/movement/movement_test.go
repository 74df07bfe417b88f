package movement

import (
	"testing"

	"conewright/geom/describe"

	"gonum.org/v1/gonum/spatial/r2"
)

// All of a machine at rest is on the paper, and what an axis moves is drawn elsewhere
// when its word grows.
func TestASketchFitsThePaperAndFollowsTheWords(t *testing.T) {
	for _, kind := range describe.Kinds() {
		c := describe.Begin(kind)
		o := Options{Size: r2.Vec{X: 120, Y: 140}, Words: describe.TestPlace(c)}
		rest := Draw(c, o)
		for _, l := range rest.Lines {
			for _, p := range l.Points {
				if !(p.X >= -1 && p.X <= o.Size.X+1 && p.Y >= -1 && p.Y <= o.Size.Y+1) {
					t.Errorf("%s: %v beside the paper at %v", kind, l.Pen, p)
				}
			}
		}
		for _, m := range describe.Moves(c) {
			o.Words, o.Stress = describe.Moved(describe.TestPlace(c), m, 20), &m
			moved, most := Draw(c, o), 0.0
			for i, l := range moved.Lines {
				for k, p := range l.Points {
					most = max(most, r2.Norm(r2.Sub(p, rest.Lines[i].Points[k])))
				}
			}
			if most < 2 {
				t.Errorf("%s: %s moves the drawing by %g mm", kind, m.Letter, most)
			}
		}
	}
}

package job

import (
	"math"

	"conewright/geom/clearance"
	"conewright/geom/machine"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r3"
)

// arcSag is how far, mm, the tip may leave the straight pieces that its way is
// taken apart into: little beside what the head keeps from anything.
const arcSag = 0.02

// mostArcs bounds the pieces of one move.
const mostArcs = 1 << 12

// arcs gives a move that bends, since a bed or the tip turns about an axis
// elsewhere, in pieces that are straight in the part's frame.
func arcs(card *machine.Card, s *readback.Step, whole *clearance.Step, each func(*clearance.Step) error) error {
	turn := math.Abs(s.To.Azimuth-s.From.Azimuth) + math.Abs(s.To.Lean-s.From.Lean)
	if turn == 0 || card.WordsArePlaces() {
		return each(whole)
	}
	r := card.TipOff()
	if card.Leans() {
		r = 2 * (card.Swing(s.From.Tip) + card.Swing(s.To.Tip) + r3.Norm(r3.Sub(s.To.Tip, s.From.Tip)))
	}
	if at, ok := card.TurningBed(); ok {
		axis := r3.Vec{X: at.X, Y: at.Y}
		far := func(tip r3.Vec) float64 { tip.Z = 0; return r3.Norm(r3.Sub(tip, axis)) }
		// Twice: while the bed turns the tip also goes on across it (see unwarp's bow).
		r = 2 * (math.Max(far(s.From.Tip), far(s.To.Tip)) + r3.Norm(r3.Sub(s.To.Tip, s.From.Tip)))
	}
	n := math.Ceil(turn / (2 * math.Acos(math.Max(0, 1-arcSag/math.Max(r, arcSag)))))
	n = math.Min(math.Max(n, 1), mostArcs)
	part := *whole
	for i := 1.0; i <= n; i++ {
		if part.To = card.Pose(between(s, i/n)); i == n {
			part.To = whole.To
		}
		if err := each(&part); err != nil {
			return err
		}
		part.From = part.To
	}
	return nil
}

// between returns a step's words at k of its way, as a controller interpolates.
func between(s *readback.Step, k float64) machine.Words {
	a, b := &s.Words[0], &s.Words[1]
	w := machine.Words{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y), Z: a.Z + k*(b.Z-a.Z)}
	for i := range w.Turn {
		w.Turn[i] = a.Turn[i] + k*(b.Turn[i]-a.Turn[i])
	}
	return w
}

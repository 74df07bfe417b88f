package clearance

import (
	"math"

	"conewright/geom/clearance/relief"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// sieve lets through the moves that a bound of what is printed can't show to be
// clear, and marks the places whose beads must be known to judge them. Of a long
// motion that is little; of most moves nothing else needs to be kept.
type sieve struct {
	head      *shape
	solids    solids
	relief    relief.Relief
	marks     *relief.Marks
	a, b      machine.Pose // the move
	up        r3.Vec       // its shell's normal; zero: not known
	ask       question
	found     bool
	everyHit  bool    // goes on to mark all that is near, not only to the first
	obstacles float64 // from how near they are looked at
	leant     []box   // leantBoxes of lean
	lean      float64
}

// question is what a piece of a move asks of the relief.
type question struct {
	*reach
	frame
	floor  float64 // what is lower is clear of the whole head
	axis   r3.Vec
	lowest float64 // along the nozzle axis from the tip: what is lower is clear of the profile
	plane  r3.Vec  // the shell near the tip
	offset float64 // material near the tip no further along plane than this is clear
	// sine and cosine of the nozzle's angle from vertical; the head's boxes, seen x
	// toward the lean, z upright.
	st, ct float64
	boxes  []box
}

// doubtful reports whether the move may come nearer to anything than need says,
// and marks what it may come near to.
func (s *sieve) doubtful(st *Step, r *reach) bool {
	s.a, s.b, s.up = st.From, st.To, st.Up
	near := s.nearObstacle()
	return s.piece(r, 0, 1) || near // material beside an obstacle is marked too
}

func (s *sieve) nearObstacle() bool {
	f := frameOf(s.head, s.a, s.b, 0, 1)
	drop := s.solids.lowestIn(s.a, s.b)
	for k := range s.solids.obstacles {
		if !s.head.farFrom(&s.solids.obstacles[k], &f, drop, s.obstacles+contactTolerance+f.run) {
			return true
		}
	}
	return false
}

// finestRun is the tip's run, mm either way, of the pieces at which doubt is
// taken for what it is.
const finestRun = 0.4

// piece asks about the move's piece [t0, t1].
func (s *sieve) piece(r *reach, t0, t1 float64) bool {
	f := frameOf(s.head, s.a, s.b, t0, t1)
	s.everyHit = f.run <= finestRun && f.turn+f.swing <= fineTurn
	s.found = false
	s.asks(r, f)
	s.relief.Ask(f.tip.X, f.tip.Y, s.head.width(&f)+r.need+f.run, s.more)
	if !s.found || s.everyHit {
		return s.found
	}
	mid := (t0 + t1) / 2
	first := s.piece(r, t0, mid)
	return s.piece(r, mid, t1) || first
}

// leantBoxes returns the head's boxes where it leans by so much.
func (s *sieve) leantBoxes(lean float64) []box {
	if s.leant == nil || s.lean != lean {
		s.leant, s.lean = s.head.leantBoxes(lean), lean
	}
	return s.leant
}

// asks sets up the question of a piece.
func (s *sieve) asks(r *reach, f frame) {
	q := &s.ask
	*q = question{reach: r, frame: f, floor: f.tip.Z - f.run - r.need + s.solids.lowestIn(s.a, s.b).p.Z, axis: f.axis(s.head), lowest: s.head.a0 - r.need, offset: math.Inf(-1)}
	q.st, q.ct = s.head.leant(f.lean)
	if q.boxes = s.head.boxes; f.lean != 0 {
		q.boxes = s.leantBoxes(f.lean)
	}
	q.plane = q.axis
	if n := r3.Norm(s.up); n > 0 && !math.IsInf(n, 0) {
		q.plane = r3.Scale(1/n, s.up)
	}
	if q.plane.Z < shelfSteepest {
		return
	}
	chord, spread := r3.Norm(r3.Sub(q.plane, q.axis)), q.st*f.turn+f.swing
	rise := math.Abs(r3.Dot(q.plane, r3.Sub(s.b.Tip, s.a.Tip))) * f.half
	q.offset = r.offset(chord-spread, chord+spread) - rise
}

// more goes on to the parts of a place that isn't shown to be clear.
func (s *sieve) more(p *relief.Place) bool {
	q := &s.ask
	if s.found && !s.everyHit {
		return false
	}
	if p.Top <= q.floor {
		return false
	}
	v := s.view(p)
	if q.swing == 0 && s.profileClear(p, &v) && s.boxesClear(p, &v) {
		return false
	}
	if !p.Smallest() {
		return true
	}
	s.found = true
	if s.everyHit {
		x, y := p.Index()
		s.marks.Mark(x, y, q.floor, p.Top)
	}
	return false
}

// view is how a place lies, seen from the head.
type view struct {
	x, y float64 // its middle, from the tip, x toward the lean
	e    float64 // half its extent in either direction
	far  float64 // no point is further from the tip in plan
	slip float64 // how far any point gets, seen from the head, within the piece
}

func (s *sieve) view(p *relief.Place) view {
	f := &s.ask.frame
	x, y := p.X-f.tip.X, p.Y-f.tip.Y
	v := view{x: x*f.cos + y*f.sin, y: y*f.cos - x*f.sin, e: p.Half * (math.Abs(f.cos) + math.Abs(f.sin))}
	v.far = math.Sqrt(x*x+y*y) + p.Half*math.Sqrt2
	v.slip = f.run + f.turn*v.far
	return v
}

// profileClear reports whether the material over a place is shown to be clear
// of the head's profile.
func (s *sieve) profileClear(p *relief.Place, v *view) bool {
	q, h := &s.ask, s.head
	a := p.Along(q.axis, q.tip) + q.along + q.turn*q.st*v.far
	if a < q.lowest {
		return true
	}
	// Where a point is from the axis depends on its height: of those at a distance
	// along the axis that matters.
	cos := max(q.ct, 0.05)
	tan := q.st / cos
	b0, b1 := (v.x-v.e)/cos-min(a, h.a1+q.need)*tan, (v.x+v.e)/cos-q.lowest*tan
	b, c := max(b0, -b1, 0), max(math.Abs(v.y)-v.e, 0)
	if q.under(a, math.Sqrt(b*b+c*c)-v.slip) {
		return true
	}
	return v.far+q.run <= shelfPlan+relief.Edge && p.Along(q.plane, q.tip) <= q.offset
}

// boxesClear reports the same of the head's boxes.
func (s *sieve) boxesClear(p *relief.Place, v *view) bool {
	q := &s.ask
	for i := range q.boxes {
		b := &q.boxes[i]
		if q.tip.Z-q.run+b.c.Z-b.h.Z-q.need >= p.Top {
			continue
		}
		dx, dy := max(math.Abs(v.x-b.c.X)-b.h.X-v.e, 0), max(math.Abs(v.y-b.c.Y)-b.h.Y-v.e, 0)
		if need := q.need + v.slip; dx*dx+dy*dy >= need*need {
			continue
		}
		n, d := p.Plane(q.tip)
		n = q.toward(n)
		if r3.Dot(n, b.c)-math.Abs(n.X)*b.h.X-math.Abs(n.Y)*b.h.Y-math.Abs(n.Z)*b.h.Z-d >= q.need+v.slip {
			continue
		}
		return false
	}
	return true
}

package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// next returns how far the piece that begins at t may run.
func (c *Corrector) next(p *path, s *span, t float64) float64 {
	end := s.t1
	tol := c.cut
	if s.ruled { // an end may be rounded up onto the rule's height, whichever way the chord hangs
		tol = math.Max(tol-c.unit-c.margin(s), tol/2)
	}
	tol = math.Max(tol-c.axisReserve(p), tol/2)
	turn, bow := math.Inf(1), math.Inf(1)
	if c.apart && !(c.slant.is && c.swivel == nil) {
		tol /= 2 // the other half is for the bow
		bow = c.mostBow(p, s, t, tol)
		if !c.bows() {
			turn = 2 * math.Acos(math.Max(0, 1-bow/c.tipOff))
			end = math.Min(end, p.line.ReachTurn(t, turn))
		}
	}
	if !s.raised {
		end = math.Min(end, p.line.ReachPlain(t, tol))
	}
	if c.swivel != nil {
		end = p.line.ReachAzimuth(t, end, c.azimuthSlack(p))
	}
	if p.bends() {
		end = c.reachPlaced(p, s, t, end, tol)
	}
	if c.bows() {
		end = c.reachBow(p, t, end, bow)
	}
	// What rounds to nothing is no piece of its own, at a span's end or amid it.
	dx, dy := p.b.X-p.a.X, p.b.Y-p.a.Y
	digit := c.unit / math.Sqrt(dx*dx+dy*dy) // of places on a printer: nothing overflows
	crumb := 3 * digit
	swings := func(to float64) bool {
		return p.line.Turn(t, to) > 1.5*turn || c.bows() && c.bow(p, t, to) > 1.5*bow
	}
	if s.t1-end < crumb && !swings(s.t1) {
		if !p.aboutLine() || s.raised {
			return s.t1
		}
		// On a crease the gap grows as fast as the piece.
		if gap, _ := p.line.Gap(t, s.t1); gap <= tol || end-t < 3*crumb {
			return s.t1
		}
		return end - crumb
	}
	least := digit
	if p.aboutLine() {
		least = crumb
	}
	// Close by a place about which the shells turn, the bed or the head turns far on
	// the shortest way: there the turning words tell the pieces apart.
	if to := math.Min(s.t1, t+least); end < to && swings(to) {
		return math.Max(end, t+leastSpan)
	}
	return math.Min(s.t1, math.Max(end, t+least))
}

// mostBow returns how far the tip may bow out of its line on a piece from t when it
// stands off the swivel axis, or the bed turns: the controller then moves it along
// an arc, whose bow, times the slope of shell or base, may be tol.
func (c *Corrector) mostBow(p *path, s *span, t, tol float64) float64 {
	bow := tol / math.Max(1, p.field.Slope())
	if r := p.field.Apart(p.at(t)); !math.IsInf(r, 1) { // nor may the bow tell another azimuth
		bow = math.Min(bow, bowTurn*math.Max(r, coarseAxis))
	}
	if s.ruled && s.turns {
		bow = math.Min(bow, turnShare*c.cut/s.tip.slope())
	}
	return bow
}

// axisReserve returns how much the rounding of places may add to the gap between
// chord and shell: near the axis, where the shell bends most, a place rounded
// by d toward it lets the chord hang up to slope x d farther off, one rounded
// along the line up to half of that; farther away than roundAxis that fades.
func (c *Corrector) axisReserve(p *path) float64 {
	reserve := 1.25 * c.unit * math.Min(p.field.Slope(), roundAxis*p.line.Bend())
	if p.field.Curvature() == field.Mixed { // heights are rounded up wherever the chord hangs: see tipHeight
		reserve += c.unit
	}
	return reserve
}

const roundAxis = 0.2 // mm

// azimuthSlack returns what the azimuth may err by between the ends of a piece.
// The rounding of places moves the closest point to the axis by up to a unit, and
// the error with it; and it turns the ends themselves.
func (c *Corrector) azimuthSlack(p *path) float64 {
	distance, _ := p.line.Closest()
	slack := azimuthTolerance*(azimuthMargin-c.unit/distance) - c.unit*math.Sqrt2/2/math.Max(distance, coarseAxis)
	slack = math.Max(slack, azimuthTolerance/5)
	if c.apart {
		slack = math.Max(slack-bowTurn, slack/2)
	}
	return slack
}

// bowTurn is what the azimuth may err by, radians, because a tip off the swivel
// axis bows out of its line while it is turned.
const bowTurn = azimuthTolerance / 4

// coarseAxis is how near the axis, mm, words of a thousandth don't tell the
// azimuth within its tolerance.
const coarseAxis = 0.06

// reachPlaced shortens a piece until the beads that its poses lay, from one end to
// the other, stay within tol of the path. The tip runs straight and the head
// turns evenly between the ends, so the bead bows out of its line.
func (c *Corrector) reachPlaced(p *path, s *span, t, end, tol float64) float64 {
	tol *= looksShare
	for i := 0; i < 30 && end-t > leastSpan; i++ {
		off := c.strays(p, s, t, end)
		if off <= tol {
			break
		}
		// The gap grows with the square of the length.
		end = t + (end-t)*math.Min(0.95, math.Max(0.3, 0.98*math.Sqrt(tol/off)))
	}
	return end
}

// strays returns how far the beads of a piece that ends at t0 and t1 come from
// the path, in height after the rule and in plan, mm; more where the head's
// azimuth errs by more than it may, and infinity where the tip comes under the
// rule's height.
func (c *Corrector) strays(p *path, s *span, t0, t1 float64) float64 {
	a0 := p.leanBeside(t0, false)
	turn := math.Remainder(p.leanBeside(t1, true)-a0, 2*math.Pi)
	from, to := c.ideal(p, s, t0, false), c.ideal(p, s, t1, true)
	looks := 4.0
	if s.ruled && s.turns || math.Abs(turn) > bigTurn {
		looks = 8
	}
	d := r2.Sub(p.b, p.a)
	length := math.Sqrt(r2.Norm2(d)) // of places on a printer: nothing overflows
	most := 0.0
	n, lean0, bend := c.nozzle, 0.0, 0.0
	if n.follows {
		ends := [2]nozzle{p.nozzleAt(t0), p.nozzleAt(t1)}
		lean0, bend = ends[0].lean, ends[1].lean-ends[0].lean
		looks = 8
	}
	for i := 1.0; i < looks; i++ {
		k := i / looks
		azimuth := a0 + k*turn
		if n.follows {
			n = n.leaning(lean0 + k*bend)
			square := p.nozzleAt(t0 + k*(t1-t0))
			most = math.Max(most, c.cut*math.Abs(n.lean-square.lean)/leanTolerance)
		}
		axis := n.axis(azimuth)
		tip := r3.Add(from, r3.Scale(k, r3.Sub(to, from)))
		bead := placement.Middle(p, c.nozzle.layer, tip, axis)
		q := r2.Vec{X: bead.X, Y: bead.Y}
		want := p.c(t0+k*(t1-t0)) - p.field.At(q)
		if s.ruled {
			least := s.tip.height(r2.Vec{X: tip.X, Y: tip.Y}) + c.rule.Over(s.tip.normal, axis)
			if tip.Z < least-1e-9 {
				return math.Inf(1)
			}
			want = math.Max(want, least+c.nozzle.layer/2-(tip.Z-bead.Z))
		}
		off := bead.Z + c.nozzle.layer/2 - want
		switch bends := p.field.Curvature(); { // to which side the ends are rounded
		case bends == field.Concave && off < 0, bends == field.Convex && off > 0, bends == field.Mixed:
			off = math.Abs(off) + c.unit
		}
		bow := math.Abs(r2.Cross(r2.Sub(q, p.a), d)) / length
		most = math.Max(most, math.Max(math.Abs(off), bow))
		if c.nozzle.fixed {
			continue
		}
		g, _ := p.Grad(q)
		off = sinAzimuth * n.sin // of an axis that hardly leans, the azimuth is no matter
		if n.follows {
			off = math.Max(off, leanTolerance)
		}
		if cross, least := math.Abs(g.X*axis.Y-g.Y*axis.X), off*math.Sqrt(g.X*g.X+g.Y*g.Y); cross > least && !p.field.Within(q, coarseAxis) {
			most = math.Max(most, c.cut*(cross/least)*(cross/least))
		}
	}
	return most
}

// looksShare is the share of a tolerance that strays may find: the greatest gap
// may lie between its looks.
const looksShare = 0.96

// bigTurn is the turn of the head on a piece, radians, above which strays looks at
// more places: the gap is no parabola any more.
const bigTurn = 0.3

// leanTolerance is how far off square, radians, an axis that leans the head may stand
// it between the ends of a piece because it goes evenly and the shells don't.
const leanTolerance = 0.3 * math.Pi / 180

// sinAzimuth is the sine of the error of the azimuth that reachPlaced allows.
var sinAzimuth = math.Sin(azimuthTolerance * azimuthMargin)

// ideal returns the tip at t, before rounding; on a crease that of the path before
// it (back) or after it.
func (c *Corrector) ideal(p *path, s *span, t float64, back bool) r3.Vec {
	o, q, stands := p.offset(t, back), p.at(t), p.nozzleAt(t)
	z := p.raw(t) - p.nozzle.layer/2 + o.Z
	tip := r2.Vec{X: q.X + o.X, Y: q.Y + o.Y}
	if s.ruled {
		z = math.Max(z, s.tip.height(tip)+c.rule.Over(s.tip.normal, stands.axis(p.leanBeside(t, back)))+c.margin(s))
	}
	return r3.Vec{X: tip.X, Y: tip.Y, Z: z}
}

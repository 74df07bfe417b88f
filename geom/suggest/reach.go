package suggest

import (
	"math"
	"slices"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// reach is what angles of shells the machine can print, degrees.
type reach struct {
	least     float64 // the nozzle's angle from vertical: what an axis that leans it allows
	most      float64
	offSquare float64
	lo, hi    float64 // least and greatest angle; lo = 0: level layers too
	need      float64 // shells of this angle carry a level underside
	fixed     *r3.Vec // along the nozzle, where it leans and no axis turns it; nil: it is turned
	own       *Field  // the ramp on which the machine lays its shells by itself (machine.Card.Ramp)
}

// newReach bounds angles by how far the nozzle may stand off square and by the
// line width, which mustn't fall under the layer height (DESIGN 3), and, where that
// leaves any, by what the nozzle lays well.
func newReach(o *Options) reach {
	r := reach{least: o.Card.Head.Tilt, most: o.Card.Head.Tilt, offSquare: o.Card.Head.OffSquare, need: 90 - o.OverhangDeg}
	if o.Card.Leans() {
		least, most := o.Card.Tilts()
		r.least, r.most = least*180/math.Pi, most*180/math.Pi
	}
	r.lo = math.Max(0, r.least-r.offSquare)
	tenth := func(a float64) float64 { return math.Floor(a*10) / 10 }
	r.hi = tenth(math.Min(r.most+r.offSquare, thinnest(o)))
	if laid := tenth(math.Min(r.hi, pressed(o))); laid >= r.lo {
		r.hi = laid
	}
	if o.Card.LeansFixed() {
		axis := o.Card.NozzleAxis(0)
		r.fixed = &axis
	}
	if angle, toward, ok := o.Card.Ramp(); ok && angle*180/math.Pi <= thinnest(o) {
		f := Field{Kind: Ramp, AngleDeg: angle * 180 / math.Pi, TowardDeg: toward * 180 / math.Pi}.rounded()
		r.own = &f
	}
	return r
}

// reachable keeps the fields to which the nozzle is square enough, and puts the
// machine's own ramp first.
func (r *reach) reachable(fields []Field) []Field {
	if r.fixed != nil {
		fields = slices.DeleteFunc(fields, func(f Field) bool { return !r.allows(&f) })
	}
	if r.own != nil && r.allows(r.own) {
		fields = slices.Insert(fields, 0, *r.own)
	}
	return fields
}

// isOwn reports that a field is the machine's own ramp.
func (r *reach) isOwn(f *Field) bool {
	return r.own != nil && f.Kind == Ramp && f.AngleDeg == r.own.AngleDeg && f.TowardDeg == r.own.TowardDeg
}

// allows reports whether a nozzle that no axis turns is square enough to a field:
// to planes alone, since it leans one way all over the part.
func (r *reach) allows(f *Field) bool {
	return r.fixed == nil || (f.Kind == Level || f.Kind == Ramp) && r.off(f) <= r.offSquare
}

// pressed returns the greatest angle, degrees, at which planar layers h = shell /
// cos(angle) are at most 0.8 of the nozzle high and lines A/h + h (1 - pi/4) at least
// 0.75 of it wide: beyond, a run warns of thin lines.
func pressed(o *Options) float64 {
	const k = 1 - math.Pi/4
	t, nozzle := o.Shell, o.Card.Nozzle
	high, wide := 0.8*nozzle, 0.75*nozzle
	if d := wide*wide - 4*k*beadArea(o); d > 0 { // k h^2 - wide h + A = 0
		high = math.Min(high, (wide-math.Sqrt(d))/(2*k))
	}
	if !(t < high) {
		return 0
	}
	return math.Acos(t/high) * 180 / math.Pi
}

// beadArea is that of a stadium as wide as the bead and as high as the shell, mm2.
func beadArea(o *Options) float64 {
	t := o.Shell
	return (o.Bead-t)*t + math.Pi/4*t*t
}

// thinnest returns the greatest angle, degrees, at which a line is as wide as
// the layer is high: the planar stadium of area A has width A/h + h (1 - pi/4)
// (DESIGN 3), so h^2 <= 4 A / pi, with h = shell / cos(angle).
func thinnest(o *Options) float64 {
	t := o.Shell
	cos := t / math.Sqrt(4*beadArea(o)/math.Pi)
	if !(cos < 1) {
		return 0
	}
	return math.Acos(cos)*180/math.Pi - 0.05
}

// level reports whether level layers are within reach.
func (r *reach) level() bool { return r.lo <= 0 }

// steep reports whether any sloping shell is within reach.
func (r *reach) steep() bool { return r.hi >= 1 && r.hi >= r.lo }

// carriesLevel reports whether shells within reach carry a level underside.
func (r *reach) carriesLevel() bool { return r.hi+slackDeg >= r.need && r.steep() }

// angles returns the angles worth trying first, the best first.
func (r *reach) angles() []float64 {
	if !r.steep() {
		return nil
	}
	clamp := func(a float64) float64 { return math.Max(math.Max(r.lo, 1), math.Min(r.hi, a)) }
	var out []float64
	for _, a := range []float64{clamp(r.need), clamp(r.tilt(r.need)), r.hi, clamp((r.lo + r.hi) / 2), clamp(r.lo)} {
		if a < 3 {
			continue // hardly different from level
		}
		far := true
		for _, b := range out {
			far = far && math.Abs(a-b) > 1
		}
		if far {
			out = append(out, a)
		}
	}
	return out
}

// off returns how far off square the nozzle stands on a field, degrees.
func (r *reach) off(f *Field) float64 {
	if r.fixed != nil {
		lift := f.Lift()
		n := lift.Normal(r2.Vec{})
		return math.Atan2(r3.Norm(r3.Cross(*r.fixed, n)), r3.Dot(*r.fixed, n)) * 180 / math.Pi
	}
	if f.Kind == Level {
		return r.tilt(0)
	}
	return math.Abs(r.tilt(f.AngleDeg) - f.AngleDeg)
}

// tilt returns the nozzle's angle from vertical on shells of an angle, degrees: an
// axis that leans it brings it as near to square as it can.
func (r *reach) tilt(angle float64) float64 { return math.Max(r.least, math.Min(r.most, angle)) }

// within reports whether the machine's travel holds the words of a tip.
func within(c *machine.Card, w machine.Words) bool {
	const slip = 1e-6
	if c.Slants() && w.Z < c.Travel.Z[0]-slip { // elsewhere the bed bounds it
		return false
	}
	return w.X >= c.Travel.X[0]-slip && w.X <= c.Travel.X[1]+slip &&
		w.Y >= c.Travel.Y[0]-slip && w.Y <= c.Travel.Y[1]+slip &&
		w.Z <= c.Travel.Z[1]+slip
}

package suggest

import (
	"math"

	"conewright/geom/machine"
)

// reach is what angles of shells the machine can print, degrees.
type reach struct {
	tilt      float64
	offSquare float64
	lo, hi    float64 // least and greatest angle; lo = 0: level layers too
	need      float64 // shells of this angle carry a level underside
}

// newReach bounds angles by how far the nozzle may stand off square and by the
// line width, which mustn't fall under the layer height (DESIGN 3).
func newReach(o *Options) reach {
	r := reach{tilt: o.Card.Head.Tilt, offSquare: o.Card.Head.OffSquare, need: 90 - o.OverhangDeg}
	r.lo = math.Max(0, r.tilt-r.offSquare)
	r.hi = math.Min(r.tilt+r.offSquare, thinnest(o))
	r.hi = math.Floor(r.hi*10) / 10
	return r
}

// thinnest returns the greatest angle, degrees, at which a line is as wide as
// the layer is high: the planar stadium of area A has width A/h + h (1 - pi/4)
// (DESIGN 3), so h^2 <= 4 A / pi, with h = shell / cos(angle).
func thinnest(o *Options) float64 {
	t := o.Shell
	area := (o.Bead-t)*t + math.Pi/4*t*t
	cos := t / math.Sqrt(4*area/math.Pi)
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
	for _, a := range []float64{clamp(r.need), clamp(r.tilt), r.hi, clamp((r.lo + r.hi) / 2), clamp(r.lo)} {
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
	if f.Kind == Level {
		return r.tilt
	}
	return math.Abs(r.tilt - f.AngleDeg)
}

// within reports whether the machine's travel holds the words of a tip.
func within(c *machine.Card, w machine.Words) bool {
	const slip = 1e-6
	return w.X >= c.Travel.X[0]-slip && w.X <= c.Travel.X[1]+slip &&
		w.Y >= c.Travel.Y[0]-slip && w.Y <= c.Travel.Y[1]+slip &&
		w.Z <= c.Travel.Z[1]+slip
}

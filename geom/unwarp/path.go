package unwarp

import (
	"math"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
)

// path is one planar move seen on the shells: a segment in plan whose shell
// runs from c0 to c1.
type path struct {
	field  *field.Field
	a, b   r2.Vec
	c0, c1 float64
	line   field.Line
	nozzle *nozzle
	held   float64 // azimuth in which the head stands where the gradient tells none
	lo, hi float64 // the stretch between two jumps of the azimuth that is being laid
	along  bool    // the path runs along a line of the field: see runAlong
}

func (p *path) at(t float64) r2.Vec {
	if t == 1 {
		return p.b
	}
	return r2.Vec{X: p.a.X + t*(p.b.X-p.a.X), Y: p.a.Y + t*(p.b.Y-p.a.Y)}
}

// c returns the shell that the path is on at t.
func (p *path) c(t float64) float64 { return p.c0 + t*(p.c1-p.c0) }

// raw returns the height of the path on its shell at t, before any rule: half a
// layer right above the middle of the bead. A straight nozzle has its tip there.
func (p *path) raw(t float64) float64 { return p.c(t) - p.field.At(p.at(t)) }

// lowest returns a height that the path never goes below.
func (p *path) lowest() float64 {
	least := math.Min(p.raw(0), p.raw(1))
	if bends := p.field.Curvature(); bends != field.Convex && bends != field.Linear { // hangs below its chord
		gap, _ := p.line.Gap(0, 1)
		least -= gap
	}
	return least
}

// azimuth returns the azimuth of the gradient at t. Within nearAxis of the axis,
// where the words are written too coarsely to tell one, it is that with which the
// stretch that is being laid leaves the axis, or comes to it; where that runs along a
// line on which the field is level, that of its far end. ok is false where it stays
// there.
func (p *path) azimuth(t float64) (azimuth float64, ok bool) {
	if p.along || p.nozzle.fixed {
		return p.held, true
	}
	q := p.at(t)
	if p.nearAxis(q) {
		far := p.lo
		if t-p.lo < p.hi-t {
			far = p.hi
		}
		if p.nearAxis(p.at(far)) {
			return 0, false
		}
		if out := p.at(p.leaves(t, far)); r2.Norm(r2.Sub(out, q)) <= 2.1*axisReach {
			return p.field.Azimuth(out)
		}
		t, q = far, p.at(far)
	}
	return p.field.Azimuth(p.beside(q, t, t > 0.5))
}

// leaves returns where the path, which is near the axis at t, comes away from it
// on its way to far, where it isn't.
func (p *path) leaves(t, far float64) float64 {
	for range 40 {
		if mid := (t + far) / 2; p.nearAxis(p.at(mid)) {
			t = mid
		} else {
			far = mid
		}
	}
	return far
}

// leanBeside returns the azimuth in which the head stands at t; on a crease that
// of the path before it (back) or after it.
func (p *path) leanBeside(t float64, back bool) float64 {
	if p.along || p.nozzle.fixed {
		return p.held
	}
	if q := p.at(t); p.field.Crease(q) < eitherSide {
		if azimuth, ok := p.field.Azimuth(p.beside(q, t, back)); ok {
			return azimuth
		}
	}
	return p.lean(t)
}

// lean returns the azimuth in which the head stands at t.
func (p *path) lean(t float64) float64 {
	if azimuth, ok := p.azimuth(t); ok {
		return azimuth
	}
	return p.held
}

// axisReach, mm, is how near the axis a place written in thousandths can't tell
// its azimuth any more, and how near a bead passes that is broken there instead
// of making the head whirl round while it crawls by. The azimuth errs by less
// than 5 degrees again 0.06 mm from the axis.
const axisReach = 0.005

func (p *path) nearAxis(q r2.Vec) bool { return p.field.Within(q, axisReach) }

// aboutLine reports that the gradient may jump along lines in the plan, and not at
// an axis alone: paths then end and begin anywhere near such a place.
func (p *path) aboutLine() bool {
	_, axis := p.field.Axis()
	return !axis && !p.field.Linear()
}

// runAlong finds out whether the whole path can't be told from a line on which the
// gradient vanishes or jumps. The head then stands square to one side of the line,
// that to which it has less to turn, and holds still.
func (p *path) runAlong() {
	if !p.aboutLine() || !p.runsAlong(0, 1) {
		return
	}
	d := r2.Sub(p.b, p.a)
	azimuth := math.Atan2(d.X, -d.Y)
	if math.Cos(azimuth-p.held) < 0 {
		azimuth += math.Pi
	}
	p.held, p.along = azimuth, true
}

// runsAlong reports that the path can't be told from such a line from t0 to t1.
func (p *path) runsAlong(t0, t1 float64) bool {
	return (t1-t0)*r2.Norm(r2.Sub(p.b, p.a)) >= 4*axisReach &&
		p.nearAxis(p.at(t0)) && p.nearAxis(p.at(t1)) && p.nearAxis(p.at((t0+t1)/2))
}

// ontoLines returns where the path comes onto a line along which it then runs, or
// leaves it: the lift has a kink there.
func (p *path) ontoLines() (ts []float64) {
	if !p.aboutLine() || p.along || p.nozzle.sin == 0 || p.nozzle.fixed {
		return nil
	}
	var buf [4]float64
	from := 0.0
	for _, t := range append(p.line.Kinks(buf[:0], axisReach), 1) {
		if p.runsAlong(from, t) {
			if n := len(ts); from > 0 && (n == 0 || ts[n-1] != from) {
				ts = append(ts, from)
			}
			if t < 1 {
				ts = append(ts, t)
			}
		}
		from = t
	}
	return ts
}

// leaning returns the gradient at a place near an axis as a nozzle takes it that
// leans one way: as steep as the field, toward the lean.
func (p *path) leaning(q, lean r2.Vec) r2.Vec {
	lean = r2.Unit(lean)
	g, ok := p.field.Grad(q)
	for _, beside := range [...]r2.Vec{lean, {X: -lean.Y, Y: lean.X}} { // along a line itself nothing is steep
		if !ok {
			g, ok = p.field.Grad(r2.Add(q, r2.Scale(axisReach, beside)))
		}
	}
	return r2.Scale(r2.Norm(g), lean)
}

// beside returns the place from which the azimuth at t, a place q, is taken: q
// itself, but on a crease, where a rounded place may lie across it, a place of the
// path before it (back) or after it, within the stretch that is being laid.
func (p *path) beside(q r2.Vec, t float64, back bool) r2.Vec {
	if !(p.field.Crease(q) < eitherSide) {
		return q
	}
	off := offCrease / math.Max(r2.Norm(r2.Sub(p.b, p.a)), 2*offCrease)
	if back {
		t -= off
	} else {
		t += off
	}
	return p.at(math.Max(p.lo+off, math.Min(p.hi-off, t)))
}

// offCrease is how far along a path, mm, a place lies that tells the gradient of one
// side of a crease: above what breaks of a line are told apart by.
const offCrease = 1e-5

// Grad returns the gradient at a place beside the path, as the path's own side of a
// crease has it. A path is a field for placement.Middle.
func (p *path) Grad(q r2.Vec) (g r2.Vec, ok bool) {
	if p.along {
		sin, cos := math.Sincos(p.held)
		return p.leaning(q, r2.Vec{X: cos, Y: sin}), true
	}
	if p.field.Crease(q) < eitherSide {
		d := r2.Sub(p.b, p.a)
		t := r2.Dot(r2.Sub(q, p.a), d) / math.Max(r2.Norm2(d), offCrease*offCrease)
		off := math.Min(offCrease/math.Max(r2.Norm(d), offCrease), (p.hi-p.lo)/2)
		q = p.at(math.Max(p.lo+off, math.Min(p.hi-off, t)))
	}
	return p.field.Grad(q)
}

// eitherSide is how near a crease, mm, a nozzle may stand square to either side
// (CONTRACT, "corrected.gcode").
const eitherSide = 0.015

// levels adds to ts where the path's height over the plane z = z0 + t z1 changes
// sign within (t0, t1): between two extrema there is one root at most.
func (p *path) levels(ts []float64, t0, t1, z0, z1 float64) []float64 {
	over := func(t float64) float64 { return p.raw(t) - z0 - t*z1 }
	var buf [4]float64
	from := t0
	for _, turn := range p.extrema(buf[:0], z1) {
		if turn > from && turn < t1 {
			ts = root(ts, over, from, turn)
			from = turn
		}
	}
	return root(ts, over, from, t1)
}

// extrema adds the t where the path's height less t z1 is least or greatest,
// ascending.
func (p *path) extrema(ts []float64, z1 float64) []float64 {
	return p.line.Extrema(ts, p.c1-p.c0-z1)
}

// root adds the root of f in (lo, hi) where f changes sign there.
func root(ts []float64, f func(float64) float64, lo, hi float64) []float64 {
	flo, fhi := f(lo), f(hi)
	if flo*fhi >= 0 {
		return ts
	}
	a, b := lo, hi
	for i := 0; i < 60 && b-a > 1e-13; i++ {
		mid := (a + b) / 2
		if f(mid)*flo > 0 {
			a = mid
		} else {
			b = mid
		}
	}
	return append(ts, (a+b)/2)
}

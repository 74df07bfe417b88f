package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Side tells the two ways apart in which two turning axes bring the nozzle onto
// a direction. A head changes sides only on a travel, since the axes turn far.
type Side int8

// The sides: with fewer than two axes there is one, Left.
const (
	Left  Side = +1
	Right Side = -1
)

// pole is the sine of the angle between a direction and a turning axis below which
// the axis has no effect: words of a thousandth of a degree don't tell more.
const pole = 1e-5

// Turns returns the words of the turning axes that bring the nozzle onto the
// wanted direction (a unit vector in the part's frame) or, where the axes can't,
// as near to it as they can on that side. Of equal words whole turns apart those
// nearest to last are taken, and an axis that has no effect keeps its last word.
// ok is false where the range of an axis keeps it from the direction; t is then
// the nearest that the range allows.
//
// Two axes: v = R(inner, beta) nozzle keeps its share along the inner axis, and
// R(outer, alpha) v = wanted keeps v's along the outer one. Of v = x outer +
// y inner + z outer x inner the first two follow from these, and z but for its
// sign from |v| = 1: a side each (Paden and Kahan's second subproblem; Murray, Li,
// Sastry, A Mathematical Introduction to Robotic Manipulation, 3.3, from memory).
func (k *Kinematics) Turns(wanted r3.Vec, side Side, last Turn) (t Turn, ok bool) {
	switch k.links {
	case 0:
		return last, true
	case 1:
		t = last
		ok = k.best(&k.chain[0], wanted, &t)
		return t, ok
	}
	outer, inner := &k.chain[0], &k.chain[1]
	v, goal := k.between(wanted, side, outer.about, inner.about)
	t = last
	beta, okInner := k.within(inner, k.onto(inner, k.nozzle, v, last), last)
	t[inner.axis] = beta
	alpha, okOuter := k.within(outer, k.onto(outer, v, goal, last), last)
	t[outer.axis] = alpha
	if okInner && okOuter {
		return t, true
	}
	return k.clamped(wanted, last), false
}

// Sides returns how many sides the card's axes have.
func (k *Kinematics) Sides() int {
	if k.links == 2 {
		return 2
	}
	return 1
}

// Side returns the side on which turning axes at t stand.
func (k *Kinematics) Side(t Turn) Side {
	if k.links < 2 {
		return Left
	}
	outer, inner := &k.chain[0], &k.chain[1]
	v := turn(k.nozzle, inner.about, inner.sign*k.axes[inner.axis].angle(t[inner.axis]))
	if r3.Dot(v, r3.Cross(outer.about, inner.about)) < 0 {
		return Right
	}
	return Left
}

// between returns where the inner axis has to bring the nozzle so that the outer
// one can turn it onto the wanted direction, and the direction that is reached:
// the wanted one, or the nearest to it.
func (k *Kinematics) between(wanted r3.Vec, side Side, outer, inner r3.Vec) (v, goal r3.Vec) {
	c := r3.Dot(outer, inner)
	s2 := 1 - c*c // not 0: Check refuses axes along each other
	share := r3.Dot(k.nozzle, inner)
	half := math.Sqrt(s2 * math.Max(0, 1-share*share))
	along := r3.Dot(wanted, outer)
	reach := math.Min(math.Max(along, c*share-half), c*share+half) // cos(a + b) and cos(a - b)
	goal = wanted
	if reach != along {
		goal = lean(wanted, outer, reach)
	}
	x, y := (reach-c*share)/s2, (share-c*reach)/s2
	z := math.Sqrt(math.Max(0, 1-x*x-y*y-2*x*y*c) / s2)
	v = r3.Add(r3.Scale(x, outer), r3.Scale(y, inner))
	return r3.Add(v, r3.Scale(float64(side)*z, r3.Cross(outer, inner))), goal
}

// lean returns the unit vector nearest to d whose share along the unit vector
// about is cos.
func lean(d, about r3.Vec, cos float64) r3.Vec {
	across := r3.Sub(d, r3.Scale(r3.Dot(d, about), about))
	n := r3.Norm(across)
	if n < pole { // any: take the one that stands square to the longest axis
		across = r3.Cross(about, r3.Vec{X: 1})
		if math.Abs(about.X) > 0.7 {
			across = r3.Cross(about, r3.Vec{Y: 1})
		}
		n = r3.Norm(across)
	}
	sin := math.Sqrt(math.Max(0, 1-cos*cos))
	return r3.Add(r3.Scale(cos, about), r3.Scale(sin/n, across))
}

// onto returns the word of a link that turns from to as near onto to as it can;
// the last word where the link has no effect.
func (k *Kinematics) onto(l *link, from, to r3.Vec, last Turn) float64 {
	a := r3.Sub(from, r3.Scale(r3.Dot(from, l.about), l.about))
	b := r3.Sub(to, r3.Scale(r3.Dot(to, l.about), l.about))
	if r3.Norm2(a) < pole*pole || r3.Norm2(b) < pole*pole {
		return last[l.axis]
	}
	angle := math.Atan2(r3.Dot(l.about, r3.Cross(a, b)), r3.Dot(a, b))
	return k.axes[l.axis].word(l.sign * angle)
}

// within returns the turn of a word that is nearest to the last one.
func (k *Kinematics) within(l *link, word float64, last Turn) (float64, bool) {
	return k.axes[l.axis].near(word, last[l.axis])
}

// clamped returns the words nearest in angle to the wanted direction with an axis
// at an end of its range, where no turn of the exact ones is in range.
func (k *Kinematics) clamped(wanted r3.Vec, last Turn) (best Turn) {
	most := math.Inf(-1)
	for i := range k.links {
		held, free := &k.chain[i], &k.chain[1-i]
		r := k.axes[held.axis].Range
		if r == nil {
			continue
		}
		for _, end := range r {
			t := last
			t[held.axis] = end
			k.best(free, wanted, &t)
			if d := r3.Dot(k.Axis(t), wanted); d > most+1e-12 {
				best, most = t, d
			}
		}
	}
	return best
}

// best turns one link as near to the wanted direction as its range allows, the
// other one standing as t says; ok is false where the range bounds it.
func (k *Kinematics) best(l *link, wanted r3.Vec, t *Turn) (ok bool) {
	from, to := k.nozzle, wanted
	switch {
	case k.links == 1:
	case l == &k.chain[0]:
		in := &k.chain[1]
		from = turn(from, in.about, in.sign*k.axes[in.axis].angle(t[in.axis]))
	default:
		out := &k.chain[0]
		to = turn(to, out.about, -out.sign*k.axes[out.axis].angle(t[out.axis]))
	}
	word, ok := k.within(l, k.onto(l, from, to, *t), *t)
	if r := k.axes[l.axis].Range; !ok { // the nearest direction lies at an end
		word = r[0]
		low, high := *t, *t
		low[l.axis], high[l.axis] = r[0], r[1]
		if r3.Dot(k.Axis(high), wanted) > r3.Dot(k.Axis(low), wanted) {
			word = r[1]
		}
	}
	t[l.axis] = word
	return ok
}

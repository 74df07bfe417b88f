package motion

import (
	"math"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// move finds out which motion a block means and makes it.
func (r *reader) move(s []byte, p plan) error {
	b := &r.b
	if p.motion != gNone {
		r.motion = p.motion
	}
	moves := b.has & (lettersXYZ | letterE | r.swivelBit())
	if moves == 0 && (r.motion < g2 || b.has&(lettersIJK|letterR) == 0 || p.motion == gNone && b.nm+b.ng > 0) {
		if b.has&(lettersABC|lettersUVW) != 0 && b.nm == 0 {
			return r.problem(s, "an axis that isn't known")
		}
		return nil
	}
	if b.nm > 0 && p.motion == gNone && b.ng == 0 {
		return nil // the letters are the M word's
	}
	switch r.motion {
	case g0, g1:
		return r.straight(s)
	case g2, g3:
		return r.arc(s)
	}
	return r.problem(s, "axis words without a motion word")
}

func (r *reader) swivelBit() uint32 {
	if r.opt.Swivel == 0 {
		return 0
	}
	return bit(r.opt.Swivel)
}

// target is where a block leads.
type target struct {
	pos    [3]float64
	known  Axes
	swivel float64
	e      float64 // mm pushed on the way
}

// goal reads a block's axis words.
func (r *reader) goal() (t target, why string) {
	b := &r.b
	if b.bare&(lettersXYZ|letterE|letterF) != 0 {
		return t, whyBare
	}
	if b.has&lettersOdd != 0 {
		return t, "a letter that no move has here"
	}
	t = target{pos: r.pos, known: r.known, swivel: r.swivel}
	for k := 0; k < 3; k++ {
		if b.has&(1<<('x'-'a'+k)) == 0 {
			continue
		}
		w := b.v['x'-'a'+k] * r.unit
		if r.relative {
			t.pos[k] += w
		} else {
			t.pos[k] = w + r.off[k]
			t.known |= 1 << k
		}
		if math.Abs(t.pos[k]) > maxValue {
			return t, whyBig
		}
	}
	if other := b.has & (lettersABC | lettersUVW); other != 0 {
		if other != r.swivelBit() {
			return t, "an axis that isn't known"
		}
		v := b.val(r.opt.Swivel) // degrees don't scale under G20: NISTIR 6556, 2.1.2.9
		if r.relative {
			v += r.swivel
		}
		t.swivel = v
	}
	if b.has&letterE != 0 {
		t.e = r.pushed(b.val('e'))
	}
	return t, ""
}

// eUnit is the mm, or after M200 the mm3, of one unit of E.
func (r *reader) eUnit() float64 {
	if r.area > 0 {
		return r.unit * r.unit * r.unit
	}
	return r.unit
}

// pushed turns an E word into mm of filament and counts on.
func (r *reader) pushed(w float64) float64 {
	if r.eDoubt && r.st.EModeLine == 0 {
		r.st.EModeLine = int(r.st.Lines)
	}
	d := w * r.eUnit()
	if r.eRelative {
		r.e += d
	} else {
		d, r.e = d-r.e, d
	}
	if r.area > 0 {
		d /= r.area
	}
	return d
}

// straight makes a G0 or G1.
func (r *reader) straight(s []byte) error {
	t, why := r.goal()
	if why != "" {
		return r.problem(s, why)
	}
	rapid := r.motion == g0
	feed := r.feed
	if r.b.has&letterF == 0 {
		if rapid {
			feed = 0
		} else if r.inverse {
			return r.problem(s, "under G93 every feed move needs its F") // NISTIR 6556, 3.5.19
		}
	}
	if r.inverse {
		feed *= r.span(&t)
	}
	return r.emitMove(&t, feed, rapid, false)
}

// span is the length that an inverse time counts for: along XYZ, else along E
// or the swivel.
func (r *reader) span(t *target) float64 {
	d := r.distance(t)
	if d == 0 {
		d = math.Abs(t.swivel - r.swivel)
	}
	if d == 0 {
		d = math.Abs(t.e)
	}
	return d
}

func (r *reader) distance(t *target) float64 {
	dx, dy, dz := t.pos[0]-r.pos[0], t.pos[1]-r.pos[1], t.pos[2]-r.pos[2]
	return math.Sqrt(dx*dx + dy*dy + dz*dz)
}

// emitMove reports a straight move to t and goes there.
func (r *reader) emitMove(t *target, feed float64, rapid, arc bool) error {
	d := r.distance(t)
	if d == 0 && t.e == 0 && t.known == r.known && t.swivel == r.swivel {
		return nil
	}
	ev := r.ev
	ev.Kind = Move
	ev.From = r3.Vec{X: r.pos[0], Y: r.pos[1], Z: r.pos[2]}
	ev.To = r3.Vec{X: t.pos[0], Y: t.pos[1], Z: t.pos[2]}
	ev.FromKnown, ev.ToKnown = r.known, t.known
	ev.FromSwivel, ev.ToSwivel = r.swivel, t.swivel
	ev.E, ev.Feed, ev.Rapid, ev.Arc = t.e, feed, rapid, arc
	ev.Line = int(r.st.Lines)
	ev.Text, ev.Code, ev.Why, ev.Support = nil, "", message.Text{}, r.support
	r.st.Moves++
	r.st.Drawn += t.e
	if t.e > 0 && d > 0 {
		r.laid = true
		r.st.Beads++
		r.st.Filament += t.e
		r.st.Length += d
	}
	r.pos, r.known, r.swivel = t.pos, t.known, t.swivel
	return r.each(ev)
}

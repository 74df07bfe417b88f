package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// MostTurning is the greatest number of turning axes that a card may have.
const MostTurning = 2

// Turn holds the words of the turning axes in the card's order, degrees; 0 where
// the card has fewer.
type Turn [MostTurning]float64

// Stand is where the head stands, seen in the part's frame: that of the bed with
// all turning axes at zero.
type Stand struct {
	Tip r3.Vec // mm
	// Axis is the unit vector from the tip up along the nozzle.
	Axis r3.Vec
	// Head holds where the head's own x, y and z point; with all turning axes at
	// zero they are those of the bed.
	Head [3]r3.Vec
}

// Kinematics turns what the part wants (tip and direction of the nozzle) into
// words and back, for one card. It is never changed after it was made, and may be
// used by several goroutines.
//
// A direction of the nozzle in the part's frame is
// R(outer, alpha) R(inner, beta) nozzle: an axis of the bed turns the part, so
// it counts with its angle turned round, and what is nearer to the part comes
// first (CONTRACT, `rotary`).
type Kinematics struct {
	axes    []Rotary // those of the head from the machine to the tool, those of the bed to the part
	links   int      // how many of chain there are
	chain   [MostTurning]link
	tip     r3.Vec // from the reference point, axes at zero
	nozzle  r3.Vec // unit vector along the nozzle, axes at zero
	linear  [3]r3.Vec
	inverse [3]r3.Vec // rows: words of a place of the reference point
}

// link is a turning axis as the nozzle's direction sees it.
type link struct {
	axis  int     // of Kinematics.axes
	about r3.Vec  // unit vector
	sign  float64 // -1: an axis of the bed
}

// NewKinematics returns the kinematics of a card that was checked.
func NewKinematics(c *Card) *Kinematics {
	k := c.kinematics()
	return &k
}

func (c *Card) kinematics() Kinematics {
	k := Kinematics{axes: c.Turning(), tip: c.tipAtZero()}
	sin, cos := math.Sincos(c.Head.Tilt * math.Pi / 180)
	k.nozzle = r3.Vec{X: sin, Z: cos}
	for i := len(k.axes) - 1; i >= 0; i-- { // the axis next to the part comes first
		if k.axes[i].On == OnBed {
			k.link(i, -1)
		}
	}
	for i := range k.axes {
		if k.axes[i].On != OnBed {
			k.link(i, 1)
		}
	}
	k.linear, k.inverse = c.Linears(), c.inverseLinear()
	return k
}

// link adds an axis to the chain.
func (k *Kinematics) link(axis int, sign float64) {
	k.chain[k.links] = link{axis: axis, about: unit(vector(k.axes[axis].About)), sign: sign}
	k.links++
}

// Axes returns the turning axes in the card's order. The caller doesn't change
// them.
func (k *Kinematics) Axes() []Rotary { return k.axes }

// Home returns the words at which all turning axes stand at zero.
func (k *Kinematics) Home() (t Turn) {
	for i := range k.axes {
		t[i] = k.axes[i].Zero
	}
	return t
}

// Words returns the words that bring the tip to a place in the part's frame, mm,
// with the turning axes at t.
func (k *Kinematics) Words(tip r3.Vec, t Turn) Words {
	for i := len(k.axes) - 1; i >= 0; i-- {
		if k.axes[i].On == OnBed {
			tip = k.turnAbout(i, t, tip, 1)
		}
	}
	w := r3.Sub(tip, k.tipFromReference(t))
	w = words(k.inverse, w)
	return Words{X: w.X, Y: w.Y, Z: w.Z, Turn: t}
}

// Stand returns where the head stands at the given words; the inverse of Words.
func (k *Kinematics) Stand(w Words) Stand {
	s := Stand{Tip: k.Tip(w), Axis: k.Axis(w.Turn), Head: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}}
	for i := range s.Head {
		s.Head[i] = k.direction(w.Turn, s.Head[i])
	}
	return s
}

// Tip returns the tip's place in the part's frame at the given words, mm.
func (k *Kinematics) Tip(w Words) r3.Vec {
	tip := k.tipFromReference(w.Turn)
	tip = r3.Add(tip, r3.Scale(w.X, k.linear[0]))
	tip = r3.Add(tip, r3.Scale(w.Y, k.linear[1]))
	tip = r3.Add(tip, r3.Scale(w.Z, k.linear[2]))
	for i := range k.axes {
		if k.axes[i].On == OnBed {
			tip = k.turnAbout(i, w.Turn, tip, -1)
		}
	}
	return tip
}

// Axis returns the unit vector along the nozzle, away from the tip, in the part's
// frame.
func (k *Kinematics) Axis(t Turn) r3.Vec { return k.direction(t, k.nozzle) }

// direction turns a direction of the head into the part's frame.
func (k *Kinematics) direction(t Turn, d r3.Vec) r3.Vec {
	for i := k.links - 1; i >= 0; i-- {
		l := &k.chain[i]
		d = turn(d, l.about, l.sign*k.axes[l.axis].angle(t[l.axis]))
	}
	return d
}

// tipFromReference returns the tip seen from the reference point, mm.
func (k *Kinematics) tipFromReference(t Turn) r3.Vec {
	tip := k.tip
	for i := len(k.axes) - 1; i >= 0; i-- {
		if k.axes[i].On != OnBed {
			tip = k.turnAbout(i, t, tip, 1)
		}
	}
	return tip
}

// turnAbout turns a place about an axis and the point that it runs through.
func (k *Kinematics) turnAbout(axis int, t Turn, p r3.Vec, sign float64) r3.Vec {
	a := &k.axes[axis]
	at := vector(a.At)
	return r3.Add(at, turn(r3.Sub(p, at), unit(vector(a.About)), sign*a.angle(t[axis])))
}

// unit returns the unit vector along v. Most axes are given as one: words and poses
// ask for it at every move.
func unit(v r3.Vec) r3.Vec {
	if v.X*v.X+v.Y*v.Y+v.Z*v.Z == 1 {
		return v
	}
	return r3.Unit(v)
}

// turn turns v about a unit vector by an angle, right-handed (Rodrigues' formula).
func turn(v, about r3.Vec, angle float64) r3.Vec {
	if angle == 0 {
		return v
	}
	sin, cos := math.Sincos(angle)
	along := r3.Scale((1-cos)*r3.Dot(about, v), about)
	return r3.Add(r3.Add(r3.Scale(cos, v), r3.Scale(sin, r3.Cross(about, v))), along)
}

package machine

import "gonum.org/v1/gonum/spatial/r3"

// Where head, bed and axes stand in the machine's frame: that of the bed with all
// turning axes at zero. Drawings and checks of a machine that moves ask for it.

// HeadAt returns where a point of the head stands at the given words. p is seen
// from the tip, with all turning axes at zero.
func (k *Kinematics) HeadAt(w Words, p r3.Vec) r3.Vec {
	return r3.Add(k.reference(w), k.turned(OnHead, len(k.axes), w.Turn, r3.Add(k.tip, p)))
}

// BedAt returns where a point of the bed or the part stands, p in bed coordinates.
func (k *Kinematics) BedAt(t Turn, p r3.Vec) r3.Vec { return k.turned(OnBed, len(k.axes), t, p) }

// AxisAt returns a point on a turning axis and its unit direction, about which the
// angle is right-handed.
func (k *Kinematics) AxisAt(axis int, w Words) (at, about r3.Vec) {
	a := &k.axes[axis]
	at = vector(a.At)
	end := k.turned(a.On, axis, w.Turn, r3.Add(at, unit(vector(a.About))))
	at = k.turned(a.On, axis, w.Turn, at)
	about = r3.Sub(end, at)
	if a.On == OnHead {
		at = r3.Add(k.reference(w), at)
	}
	return at, about
}

// reference returns the reference point's place.
func (k *Kinematics) reference(w Words) r3.Vec {
	p := r3.Scale(w.X, k.linear[0])
	return r3.Add(p, r3.Add(r3.Scale(w.Y, k.linear[1]), r3.Scale(w.Z, k.linear[2])))
}

// turned turns a point by the axes on head or bed that come before one of them.
func (k *Kinematics) turned(on string, before int, t Turn, p r3.Vec) r3.Vec {
	for i := before - 1; i >= 0; i-- {
		if k.axes[i].On == on {
			p = k.turnAbout(i, t, p, 1)
		}
	}
	return p
}

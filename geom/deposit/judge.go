package deposit

import (
	"math"

	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Judge hears a motion move by move. New makes one.
type Judge struct {
	zones   []Zone
	rim     float64 // radius of the nozzle's flat end
	surface surface
	path    float64 // length of the tip's path so far
	bead    bead
	hang    run
	held    segment // what held the last sample: it mostly holds the next one too
	report  Report
}

// bead is the bead that is being laid.
type bead struct {
	laying bool
	zone   int
	end    r3.Vec  // of its middle line so far
	tip    r3.Vec  // that laid end
	ahead  float64 // from end to the next place that is judged
	grown  stretch
}

// stretch is a nearly straight piece of the bead that isn't on the surface yet:
// short moves are kept as one segment.
type stretch struct {
	from, to r3.Vec
	moves    int
	like     segment
}

const (
	// longStretch is the length at which a stretch is laid, mm.
	longStretch = 0.5
	// straight is how far, mm, a stretch may be from the moves that it stands for.
	straight = 0.01
)

// New returns a judge of motions of these zones by a nozzle whose flat end has
// the radius rim.
func New(zones []Zone, rim float64) *Judge { return &Judge{zones: zones, rim: rim} }

// Add hears the next move. Moves that lay beads name one of the zones.
func (j *Judge) Add(m *Move) {
	length := r3.Norm(r3.Sub(m.To, m.From))
	j.sweep(m, length)
	if m.Lays && length > 0 {
		j.lay(m, length)
	} else {
		if length > crumb || m.Retracts {
			j.endBead()
		}
		j.path += length
	}
}

// Report returns what was found, once all moves were heard.
func (j *Judge) Report() *Report {
	j.endBead()
	return &j.report
}

// lay judges the bead of a move and adds it to the surface.
func (j *Judge) lay(m *Move, length float64) {
	z, b := &j.zones[m.Zone], &j.bead
	if !b.laying || r3.Norm(r3.Sub(b.tip, m.From)) > crumb || b.zone != m.Zone {
		j.endBead()
		*b = bead{laying: true, zone: m.Zone, ahead: sampleEvery / 2}
		b.end = placement.Middle(z.Field, z.LayerHeight, m.From, m.FromAxis)
	}
	from := b.end
	b.end, b.tip = placement.Middle(z.Field, z.LayerHeight, m.To, m.ToAxis), m.To
	mid := r3.Scale(0.5, r3.Add(from, b.end))
	n := z.Field.Normal(r2.Vec{X: mid.X, Y: mid.Y})
	t := z.LayerHeight * n.Z
	if !m.Support {
		j.judge(m, from, n, t)
	}
	j.path += length
	j.grow(from, segment{
		path: j.path, nx: float32(n.X), ny: float32(n.Y),
		half: float32(t / 2), flat: float32(max(0, z.Width-t) / 2),
	})
}

// judge asks of each sample of the move's bead what lies under it.
func (j *Judge) judge(m *Move, from, n r3.Vec, t float64) {
	b := &j.bead
	d := r3.Sub(b.end, from)
	length := r3.Norm(d)
	at := b.ahead
	for ; at < length; at += sampleEvery {
		p := r3.Add(from, r3.Scale(at/length, d))
		j.report.Length += sampleEvery
		if j.rests(&j.zones[m.Zone], p, n, t) {
			j.endRun()
			continue
		}
		j.hang.add(p, m)
	}
	b.ahead = at - length
}

// rests reports whether the bed, the zone's base or a segment lies under a place.
func (j *Judge) rests(z *Zone, p, n r3.Vec, t float64) bool {
	w := window{at: p, normal: n, least: underLeast * t, most: underMost * t, beside: underBeside * z.Width}
	if j.held.path > 0 && w.holds(&j.held) || w.holdsPlane(r3.Vec{}, r3.Vec{Z: 1}) {
		return true
	}
	if z.Base != nil {
		q := r3.Sub(p, r3.Scale(t, n))
		if h, normal, ok := z.Base.Height(q.X, q.Y, p.Z); ok && w.holdsPlane(r3.Vec{X: q.X, Y: q.Y, Z: h}, normal) {
			return true
		}
	}
	g := j.surface.find(&w)
	if g == nil {
		return false
	}
	j.held = *g
	return true
}

// find returns a segment in the window, or nil.
func (s *surface) find(w *window) *segment {
	mid := r3.Sub(w.at, r3.Scale((w.least+w.most)/2, w.normal))
	long := (w.most - w.least) / 2
	ex, ey := long*math.Abs(w.normal.X)+w.beside+reachOut, long*math.Abs(w.normal.Y)+w.beside+reachOut
	for y := cellOf(mid.Y - ey); y <= cellOf(mid.Y+ey); y++ {
		for x := cellOf(mid.X - ex); x <= cellOf(mid.X+ex); x++ {
			c := s.at(x, y)
			if c == nil {
				continue
			}
			for i, from := len(c.segments)-1, c.from(w.lowest(c.n.wide())); i >= from; i-- {
				if w.holds(&c.segments[i]) {
					return &c.segments[i]
				}
			}
		}
	}
	return nil
}

// reachOut is more than segments reach out of their cells by rounding, mm.
const reachOut = 1e-4

// grow adds a piece of the bead to its stretch, and lays the stretch where it is
// long or bends.
func (j *Judge) grow(from r3.Vec, like segment) {
	s := &j.bead.grown
	to := j.bead.end
	if s.moves > 0 && !s.continues(to, &like) {
		j.layStretch()
	}
	if s.moves == 0 {
		s.from = from
	}
	s.to, s.like = to, like
	s.moves++
	if r3.Norm2(r3.Sub(s.to, s.from)) > longStretch*longStretch {
		j.layStretch()
	}
}

// continues reports whether a stretch stays straight when it goes on to a place.
func (s *stretch) continues(to r3.Vec, like *segment) bool {
	d := r3.Sub(to, s.from)
	off := r3.Norm(r3.Cross(d, r3.Sub(s.to, s.from)))
	return off <= straight*r3.Norm(d)/float64(s.moves) && r3.Dot(d, r3.Sub(to, s.to)) > 0 && like.flat == s.like.flat
}

func (j *Judge) layStretch() {
	if s := &j.bead.grown; s.moves > 0 {
		j.surface.lay(s.from, s.to, s.like, underBeside*j.zones[j.bead.zone].Width)
		s.moves = 0
	}
}

func (j *Judge) endBead() {
	j.layStretch()
	j.endRun()
	j.bead.laying = false
}

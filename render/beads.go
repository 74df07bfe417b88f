package render

import (
	"math"

	"conewright/render/depth"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sizes of beads on paper, mm.
const (
	beadGap  = 1.0 // between shells whose beads are drawn
	beadStep = 0.4 // between places of a bead that are looked at
	beadCell = 0.3 // of the depths that hide them
)

// usualBead is the width of a bead where it isn't known, mm.
const usualBead = 0.45

// mostBeads bounds the points of beads that are drawn without hidden ones, the
// newest first.
const mostBeads = 60_000

// beads draws the beads laid so far. It leaves out what the printed part hides and
// shells that would run together on paper; the newest shell is always drawn.
func (s *sketch) beads(m *model, f *drawing.ViewFrame) {
	if len(s.in.Beads) == 0 {
		return
	}
	zone := s.printing(m)
	if zone < 0 {
		s.allBeads(f)
		return
	}
	newest := s.newestShell(m)
	printed := s.printed(m, f, zone, newest)
	first := s.in.Before
	for _, b := range s.in.Beads[:first] {
		if len(b) > 1 {
			s.bead(f, m.zones[0], printed, b)
		}
	}
	for i, count := range s.in.Counts {
		z := m.zones[i]
		step := s.in.Shell / math.Cos(z.field.Angle())
		nth := everyNth(s.in.Shell, f.Scale, beadGap)
		for _, b := range s.in.Beads[first : first+count] {
			if len(b) < 2 {
				continue
			}
			shell := z.shellOf(b[len(b)-1])
			if k := int(math.Round((shell - z.low) / step)); k%nth == 0 || i == zone && shell > newest-step/2 {
				s.bead(f, z, printed, b)
			}
		}
		first += count
	}
}

// printing returns the index of the zone to which the newest bead belongs; -1
// where that isn't known.
func (s *sketch) printing(m *model) int {
	sum, zone := s.in.Before, -1
	if s.in.Counts != nil && sum == len(s.in.Beads) {
		zone = 0 // about to be begun
	}
	for i, n := range s.in.Counts {
		if sum += n; n > 0 {
			zone = i
		}
	}
	if sum != len(s.in.Beads) || len(s.in.Counts) > len(m.zones) || len(m.zones) == 0 {
		return -1
	}
	return zone
}

// newestShell returns the z + f up to which the zone in question is printed; all
// where that isn't known.
func (s *sketch) newestShell(m *model) float64 {
	zone := s.printing(m)
	if zone < 0 {
		return math.Inf(1)
	}
	if s.in.Before == len(s.in.Beads) {
		return math.Inf(-1)
	}
	b := s.in.Beads[len(s.in.Beads)-1]
	return m.zones[zone].shellOf(b[len(b)-1])
}

// shellOf returns z + f of a place of the part as it is.
func (z *zoneModel) shellOf(p r3.Vec) float64 {
	return p.Z + z.field.At(r2.Vec{X: p.X, Y: p.Y})
}

// allBeads draws the newest beads, whatever hides them.
func (s *sketch) allBeads(f *drawing.ViewFrame) {
	first, points := len(s.in.Beads), 0
	for first > 0 && points < mostBeads {
		first--
		points += len(s.in.Beads[first])
	}
	for _, b := range s.in.Beads[first:] {
		s.curve(f, style{pen: drawing.Bead}, b...)
	}
}

// bead draws what shows of a bead.
func (s *sketch) bead(f *drawing.ViewFrame, z *zoneModel, printed *depth.Map, b []r3.Vec) {
	st := style{view: f.View, pen: drawing.Bead}
	drawn := false // a line is under way
	end := func() {
		if drawn {
			s.end(f, st)
		}
		drawn = false
	}
	step := beadStep / f.Scale
	from := z.raised(b[0])
	for _, p := range b[1:] {
		to := z.raised(p)
		n := int(math.Ceil(r3.Norm(r3.Sub(to, from)) / step))
		for i := range n {
			at := r3.Add(from, r3.Scale((float64(i)+0.5)/float64(n), r3.Sub(to, from)))
			if !printed.Before(at) {
				end()
				continue
			}
			if !drawn {
				s.begin()
				s.point(f.Paper(r3.Add(from, r3.Scale(float64(i)/float64(n), r3.Sub(to, from)))))
				drawn = true
			}
			s.point(f.Paper(r3.Add(from, r3.Scale(float64(i+1)/float64(n), r3.Sub(to, from)))))
		}
		from = to
	}
	end()
}

// hanging draws the beads that hang, whatever hides them: they are looked for.
func (s *sketch) hanging(m *model, f *drawing.ViewFrame) {
	for _, h := range s.in.Hanging {
		if len(h.Points) < 2 || h.Zone < 0 || h.Zone >= len(m.zones) {
			continue
		}
		s.begin()
		for _, p := range h.Points {
			s.point(f.Paper(m.zones[h.Zone].raised(p)))
		}
		s.end(f, style{view: f.View, pen: drawing.Hanging})
	}
}

// raised returns where the drawing shows a place of the part.
func (z *zoneModel) raised(p r3.Vec) r3.Vec {
	p.Z += z.lift(r2.Vec{X: p.X, Y: p.Y})
	return p
}

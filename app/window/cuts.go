package window

import (
	"fmt"
	"math"
	"slices"

	"conewright/geom/job"

	"gonum.org/v1/gonum/spatial/r3"
)

// leafNamed returns the zone of a name in any part, nil for none.
func leafNamed(s *job.Setup, name string) *job.Zone {
	for _, l := range s.Leaves() {
		if l.Name == name {
			return l
		}
	}
	return nil
}

// cutUnder returns the cut on which the named zone rests: the last one on the
// way down to it that it lies over. Nil for a zone on the bed.
func cutUnder(s *job.Setup, name string) *job.Cut {
	var found *job.Cut
	var walk func(z *job.Zone, rests *job.Cut)
	walk = func(z *job.Zone, rests *job.Cut) {
		if z.Cut == nil {
			if z.Name == name {
				found = rests
			}
			return
		}
		walk(z.Under, rests)
		walk(z.Over, z.Cut)
	}
	for _, one := range s.Single() {
		walk(one.Zones, nil)
	}
	return found
}

// splitLeaf cuts the named zone at a height; the upper half gets a name of its
// own and the same field.
func splitLeaf(s *job.Setup, name string, point [3]float64) (upper string) {
	leaf := leafNamed(s, name)
	if leaf == nil {
		return ""
	}
	upper = freeName(s)
	*leaf = job.Zone{
		Cut:   &job.Cut{Point: point, Normal: [3]float64{0, 0, 1}},
		Under: &job.Zone{Name: leaf.Name, Field: leaf.Field},
		Over:  &job.Zone{Name: upper, Field: leaf.Field.Clone()},
	}
	return upper
}

// tiltOf returns how far a cut tilts in the elevation, degrees: 0 level, 90 upright
// with what prints later at its right.
func tiltOf(cut *job.Cut) float64 {
	n := normalOf(cut)
	return math.Atan2(n.X, n.Z) * 180 / math.Pi
}

// tilt turns a cut about its point until it tilts by an angle, degrees; what of its
// normal points to the back stays.
func tilt(cut *job.Cut, degrees float64) {
	n := r3.Unit(normalOf(cut))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	flat := math.Hypot(n.X, n.Z)
	cut.Normal = [3]float64{flat * sin, n.Y, flat * cos}
}

// limitCut lets the cut under the chosen zone take one piece alone, or all that lies
// over its plane. The piece is that with the zone's highest place; the sheet's menu
// takes another.
func (z *zonesPage) limitCut(on bool) {
	s, f := z.w.session.Setup(), z.w.session.Facts()
	if s == nil {
		return
	}
	cut := cutUnder(s, z.chosen)
	if cut == nil || (cut.Only != nil) == on {
		return // only shown
	}
	if !on {
		z.w.limitTo(z.chosen, nil)
		return
	}
	leaves := s.Leaves()
	i := slices.IndexFunc(leaves, func(l *job.Zone) bool { return l.Name == z.chosen })
	if f == nil || f.Setup != s || i < 0 || i >= len(f.Regions) || len(f.Regions[i].Mesh.Vertices) == 0 {
		z.w.refresh() // where the pieces lie isn't known yet
		return
	}
	top := f.Regions[i].Mesh.Vertices[0]
	for _, v := range f.Regions[i].Mesh.Vertices {
		if v.Z > top.Z {
			top = v
		}
	}
	z.w.limitTo(z.chosen, &top)
}

// limitTo limits the cut on which a zone rests to the piece at a place; nil: to none.
func (w *Window) limitTo(zone string, at *r3.Vec) {
	w.do("step.only", func(s *job.Setup) {
		if cut := cutUnder(s, zone); cut != nil {
			cut.Only = nil
			if at != nil {
				cut.Only = &[3]float64{onGrid(at.X), onGrid(at.Y), onGrid(at.Z)}
			}
		}
	})
}

// freeName returns a zone name that isn't taken.
func freeName(s *job.Setup) string {
	for i := 2; ; i++ {
		name := fmt.Sprintf("zone-%d", i)
		if leafNamed(s, name) == nil {
			return name
		}
	}
}

// joinLeaf removes the innermost cut beside the named zone; what lay on the
// other side of it is joined to the zone and takes its field.
func joinLeaf(s *job.Setup, name string) {
	var walk func(z *job.Zone) bool
	walk = func(z *job.Zone) bool {
		if z.Cut == nil {
			return false
		}
		for _, half := range []*job.Zone{z.Under, z.Over} {
			if half.Cut == nil && half.Name == name {
				*z = *half
				return true
			}
		}
		return walk(z.Under) || walk(z.Over)
	}
	walk(s.Zones)
}

// addCut cuts the chosen zone level in the middle of its height.
func (z *zonesPage) addCut() {
	f := z.w.session.Facts()
	s := z.w.session.Setup()
	if f == nil || s == nil || len(f.Regions) == 0 {
		return
	}
	for i, leaf := range s.Leaves() {
		if leaf.Name != z.chosen || i >= len(f.Regions) {
			continue
		}
		box := f.Regions[i].Mesh.Bounds()
		height := math.Round((box.Min.Z+box.Max.Z)/2*10) / 10
		upper := ""
		z.w.do("step.addcut", func(s *job.Setup) {
			upper = splitLeaf(s, leaf.Name, [3]float64{s.Part.Seat[0], s.Part.Seat[1], height})
		})
		z.chosen = upper
		z.w.refresh()
		return
	}
}

func (z *zonesPage) removeCut() {
	z.w.do("step.removecut", func(s *job.Setup) { joinLeaf(s, z.chosen) })
}

// footShells is how many level shells a foot has: the hold of a few, and little
// of the part's height (common practice, no source).
const footShells = 3

// footFits reports whether a level foot would do the part good: where it has none,
// isn't level anyway, and the head prints level shells well.
func footFits(s *job.Setup) bool {
	head := s.Machine.Card.Head
	return head.Tilt <= head.OffSquare && s.Clone().AddFoot(footShells)
}

func (z *zonesPage) addFoot() {
	z.w.do("step.foot", func(s *job.Setup) { s.AddFoot(footShells) })
}

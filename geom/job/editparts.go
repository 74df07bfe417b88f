package job

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// ChangePart changes the i-th part: change sees it as Part and Zones. A setup of one
// part has only that one. The setup must be one that nobody else holds.
func (s *Setup) ChangePart(i int, change func(*Setup)) {
	if i < 0 || i >= len(s.Parts) {
		change(s)
		return
	}
	s.Part, s.Zones = s.Parts[i].Part, s.Parts[i].Zones
	change(s)
	s.Parts[i].Part, s.Parts[i].Zones = s.Part, s.Zones
	s.showFirst()
}

// AddPart puts another part at the end of the printing order, where it stands in
// added, and returns its index. Its name and those of its zones get a number where
// they are taken. The setup must be one that nobody else holds.
func (s *Setup) AddPart(added *Setup) int {
	one := added.Clone()
	if len(s.Parts) == 0 {
		s.Parts = []PartZones{{Name: partName(s.Part.File), Part: s.Part, Zones: s.Zones}}
	}
	name := freeOf(partName(one.Part.File), func(name string) bool {
		return slices.ContainsFunc(s.Parts, func(p PartZones) bool { return p.Name == name })
	})
	if one.Zones.Cut == nil && one.Zones.Name == usualZone {
		one.Zones.Name = name // of several, it says more
	}
	s.renameTaken(one.Zones, s.zoneNames())
	s.Parts = append(s.Parts, PartZones{Name: name, Part: one.Part, Zones: one.Zones})
	s.showFirst()
	return len(s.Parts) - 1
}

// RenameZone gives a zone another name. An error says why that can't be its name. The
// setup must be one that nobody else holds.
func (s *Setup) RenameZone(from, to string) error {
	taken := s.zoneNames()
	delete(taken, strings.ToLower(from))
	switch {
	case !zoneName.MatchString(to):
		return wrong("zones.name", "use letters, digits, - and _, 64 at most", "%q can't name a zone", to)
	case reservedName.MatchString(to):
		return wrong("zones.name", "use another name", "%q names a device on some systems, so no file can have it", to)
	case taken[strings.ToLower(to)]:
		return wrong("zones.name", "give each zone its own name (capitals don't tell files apart everywhere)", "two zones are named %q", to)
	}
	for _, leaf := range s.Leaves() {
		if leaf.Name == from {
			leaf.Name = to
		}
	}
	return nil
}

// RemovePart takes the i-th of several parts away; the last one that is left is the
// setup's only part. The setup must be one that nobody else holds.
func (s *Setup) RemovePart(i int) {
	if i < 0 || i >= len(s.Parts) || len(s.Parts) < 2 {
		return
	}
	s.Parts = slices.Delete(s.Parts, i, i+1)
	s.showFirst()
	if len(s.Parts) == 1 {
		s.Parts = nil
	}
}

// SwapParts exchanges two parts in the printing order. The setup must be one that
// nobody else holds.
func (s *Setup) SwapParts(i, k int) {
	if min(i, k) >= 0 && max(i, k) < len(s.Parts) {
		s.Parts[i], s.Parts[k] = s.Parts[k], s.Parts[i]
		s.showFirst()
	}
}

// TakeZones gives the part that Part and Zones show other zones, whose names get a
// number where another part has them.
func (s *Setup) TakeZones(zones *Zone) {
	taken := s.zoneNames()
	for _, leaf := range s.Zones.Leaves() {
		delete(taken, strings.ToLower(leaf.Name))
	}
	s.renameTaken(zones, taken)
	s.Zones = zones
}

// zoneNames returns the names of the zones of all parts, in small letters: capitals
// don't tell files apart everywhere.
func (s *Setup) zoneNames() map[string]bool {
	taken := map[string]bool{}
	for _, leaf := range s.Leaves() {
		taken[strings.ToLower(leaf.Name)] = true
	}
	return taken
}

// renameTaken gives the zones of a tree names that aren't taken, and takes them.
func (s *Setup) renameTaken(z *Zone, taken map[string]bool) {
	for _, leaf := range z.Leaves() {
		leaf.Name = freeOf(leaf.Name, func(name string) bool { return taken[strings.ToLower(name)] })
		taken[strings.ToLower(leaf.Name)] = true
	}
}

// mostNumbered is the length to which a name is cut before a number is put behind it:
// names have 64 letters at most.
const mostNumbered = 56

// freeOf returns a name that isn't taken: the name itself, or with a number behind it
// in place of the one it has.
func freeOf(name string, taken func(string) bool) string {
	if !taken(name) {
		return name
	}
	stem := name
	if at := strings.LastIndex(name, "-"); at > 0 && strings.Trim(name[at+1:], "0123456789") == "" {
		stem = name[:at]
	}
	stem = stem[:min(len(stem), mostNumbered)]
	for i := 2; ; i++ {
		if next := fmt.Sprintf("%s-%d", stem, i); !taken(next) {
			return next
		}
	}
}

// partName names a part after its file, in the letters that names may have.
func partName(file string) string {
	name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
	name = strings.Map(func(r rune) rune {
		if r < 128 && zoneName.MatchString(string(r)) {
			return r
		}
		return '-'
	}, name)
	if strings.Trim(name, "-") == "" {
		return "part"
	}
	return name[:min(len(name), mostNumbered)]
}

// HeadReach returns how far the head reaches sideways from its tip with what of it
// hangs lower than a height over the tip, mm: parts of that height that stand farther
// apart never meet it, whatever their order.
func (s *Setup) HeadReach(height float64) float64 {
	card := s.Machine.Card
	sin, cos := math.Sincos(card.Head.Tilt * math.Pi / 180)
	reach := 0.0
	for _, p := range card.Head.Profile {
		switch {
		case card.Leans(): // it can lean any way: its length bounds it
			reach = max(reach, math.Hypot(p[0], p[1]))
		case p[0]*cos-p[1]*sin < height:
			reach = max(reach, p[0]*sin+p[1]*cos)
		}
	}
	for _, b := range card.Head.Boxes {
		far := r3.Vec{X: max(-b.Min[0], b.Max[0]), Y: max(-b.Min[1], b.Max[1])}
		if card.Leans() {
			far.Z = max(-b.Min[2], b.Max[2])
		} else if b.Min[2] >= height {
			continue
		}
		reach = max(reach, r3.Norm(far))
	}
	return reach
}

// leastApart is the least room, mm, that FreeSeat leaves between parts: enough to
// take them off the bed one by one.
const leastApart = 5

// FreeSeat returns a seat for a part of a size beside the boxes of those that
// stand on the bed: within the travel, as far from them as the head needs where there
// is such a place, and near the first of them. ok is false where there is no room.
func (s *Setup) FreeSeat(size r3.Vec, standing []r3.Box) (seat [2]float64, ok bool) {
	high := size.Z
	for _, b := range standing {
		high = max(high, b.Max.Z)
	}
	reach := s.HeadReach(high)
	for _, apart := range []float64{reach + 1, reach / 2, leastApart} {
		if at, found := s.nearestSeat(size, standing, max(apart, leastApart)); found {
			return at, true
		}
	}
	return seat, false
}

// nearestSeat searches the travel for a seat so far from what stands there, in steps
// of a few mm.
func (s *Setup) nearestSeat(size r3.Vec, standing []r3.Box, apart float64) (seat [2]float64, ok bool) {
	wide, deep := s.searched(s.Machine.Card.PartTravel().X, 0), s.searched(s.Machine.Card.PartTravel().Y, 1)
	step := max(2.5, (wide[1]-wide[0])/200, (deep[1]-deep[0])/200) // mm: a seat to a few mm is found soon
	best := math.Inf(1)
	for x := wide[0] + size.X/2; x <= wide[1]-size.X/2; x += step {
		for y := deep[0] + size.Y/2; y <= deep[1]-size.Y/2; y += step {
			at := r3.Box{Min: r3.Vec{X: x - size.X/2 - apart, Y: y - size.Y/2 - apart}, Max: r3.Vec{X: x + size.X/2 + apart, Y: y + size.Y/2 + apart}}
			if slices.ContainsFunc(standing, func(b r3.Box) bool { return meet(at, b) }) || s.onObstacle(at) {
				continue
			}
			d := 0.0
			if len(standing) > 0 {
				middle := r3.Scale(0.5, r3.Add(standing[0].Min, standing[0].Max))
				d = math.Hypot(x-middle.X, y-middle.Y)
			}
			if d < best-1e-9 {
				best, seat, ok = d, [2]float64{math.Round(x*10) / 10, math.Round(y*10) / 10}, true
			}
		}
	}
	return seat, ok
}

// endlessSearched is how far, mm, a seat is searched for to either side of the first
// part along an axis without end.
const endlessSearched = 500.0

// searched returns between what a seat is searched for along x (0) or y (1).
func (s *Setup) searched(travel machine.Limits, axis int) machine.Limits {
	at := s.Part.Seat[axis]
	if math.IsInf(travel[0], 0) {
		travel[0] = at - endlessSearched
	}
	if math.IsInf(travel[1], 0) {
		travel[1] = at + endlessSearched
	}
	return travel
}

// onObstacle reports whether a box meets an obstacle of the machine in plan.
func (s *Setup) onObstacle(at r3.Box) bool {
	for _, o := range s.Machine.Card.Obstacles {
		if o.Max[2] > 0 && meet(at, r3.Box{Min: r3.Vec{X: o.Min[0], Y: o.Min[1]}, Max: r3.Vec{X: o.Max[0], Y: o.Max[1]}}) {
			return true
		}
	}
	return false
}

// meet reports whether two boxes meet in plan.
func meet(a, b r3.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

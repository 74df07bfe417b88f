package job

import (
	"math"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// PlaceRemark is what is wrong, or may be, with where a part stands.
type PlaceRemark struct {
	Part int // index of the part
	Text message.Text
	// May tells that only a run shows whether it is wrong.
	May bool
}

// PlaceRemarks says of parts as they stand where they reach over the travel, stand in
// an obstacle, or stand so near to each other that the head may meet one while it
// prints another. It looks at boxes alone, so that it can be asked at once.
func (s *Setup) PlaceRemarks(parts []*Model) []PlaceRemark {
	var found []PlaceRemark
	travel := s.Machine.Card.PartTravel()
	boxes := make([]r3.Box, len(parts))
	for i, m := range parts {
		boxes[i] = m.Mesh.Bounds()
		for _, text := range BeyondTravel(boxes[i], &travel) {
			found = append(found, PlaceRemark{Part: i, Text: text})
		}
		if text, ok := s.onObstacleText(boxes[i]); ok {
			found = append(found, PlaceRemark{Part: i, Text: text})
		}
	}
	if len(s.Parts) != len(boxes) {
		return found
	}
	for later := range boxes {
		for earlier := range later {
			if text, ok := s.nearText(earlier, later, boxes); ok {
				found = append(found, PlaceRemark{Part: later, Text: text, May: true})
			}
		}
	}
	return found
}

// onObstacleText says in which obstacle a box stands.
func (s *Setup) onObstacleText(box r3.Box) (text message.Text, ok bool) {
	for _, o := range s.Machine.Card.Obstacles {
		at := r3.Box{Min: r3.Vec{X: o.Min[0], Y: o.Min[1]}, Max: r3.Vec{X: o.Max[0], Y: o.Max[1]}}
		if meet(box, at) && o.Min[2] < box.Max.Z && o.Max[2] > box.Min.Z {
			return message.New("the part stands in an obstacle of the machine, x %.1f to %.1f, y %.1f to %.1f mm: seat it elsewhere",
				o.Min[0], o.Max[0], o.Min[1], o.Max[1]), true
		}
	}
	return text, false
}

// nearText says that the head may meet a part that is printed while it prints a later
// one.
func (s *Setup) nearText(earlier, later int, boxes []r3.Box) (text message.Text, ok bool) {
	a, b := boxes[earlier], boxes[later]
	gap := math.Hypot(max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, 0), max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y, 0))
	need := s.HeadReach(a.Max.Z)
	if gap >= need || meet(a, b) { // that is told otherwise
		return text, false
	}
	return message.New("the head may meet part %s while it prints part %s, %.1f mm beside it: the run tells; %.1f mm are surely enough, or print the lower one first",
		s.Parts[earlier].Name, s.Parts[later].Name, gap, need), true
}

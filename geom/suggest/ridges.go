package suggest

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
	"conewright/geom/section"
)

const (
	maxLines     = 6   // medial lines about which ridges are tried
	maxOutlines  = 16  // outlines whose medial line is looked for
	sameLine     = 0.7 // mm within which two lines are one
	mostOfLine   = 24  // points of a line: what winds more is no wall, and slow to judge
	longShape    = 2.5 // how many times as long as wide a body is that wants a ridge
	longRoundest = 0.052
	mostBranch   = 1.25 // times the line's length and width that its body may have as area
	// mostTurn, degrees, is how sharply a line may bend: on the inside of a sharper bend
	// the shells make a valley in which the head meets its other side.
	mostTurn = 30.0
)

// A shape longShape times as long as wide, L = 2.5 w, has an area of
// L w / (2 (L + w))^2 = 0.051 times the square of its outline's length: what is
// rounder, longRoundest and more, isn't looked at.

// wallLine returns the line through the middle of an outline that is long and
// narrow, in a job's digits, or nil.
func wallLine(outline []r2.Vec) []r2.Vec {
	length := polygon.PathLength(outline, true)
	if polygon.SignedArea(outline) >= longRoundest*length*length {
		return nil
	}
	line, width := polygon.MedialLine(polygon.Region{outline})
	long := polygon.PathLength(line, false)
	if len(line) > mostOfLine || !(long >= longShape*width) || polygon.SignedArea(outline) > mostBranch*long*width || bends(line, mostTurn) {
		return nil
	}
	line = Field{Line: line}.rounded().Line
	if !apart(line) {
		return nil
	}
	return line
}

// bends reports that a line bends more sharply than by an angle, degrees.
func bends(line []r2.Vec, angle float64) bool {
	for i := 1; i+1 < len(line); i++ {
		if r2.Cos(r2.Sub(line[i], line[i-1]), r2.Sub(line[i+1], line[i])) < math.Cos(angle*math.Pi/180) {
			return true
		}
	}
	return false
}

// apart reports that a line doesn't meet itself, as a job wants it.
func apart(line []r2.Vec) bool {
	for i := 0; i+1 < len(line); i++ {
		if line[i] == line[i+1] {
			return false
		}
		for j := i + 2; j+1 < len(line); j++ {
			for _, d := range [...]float64{
				polygon.SegmentDistance(line[i], line[j], line[j+1]), polygon.SegmentDistance(line[i+1], line[j], line[j+1]),
				polygon.SegmentDistance(line[j], line[i], line[i+1]), polygon.SegmentDistance(line[j+1], line[i], line[i+1]),
			} {
				if d < 0.05 {
					return false
				}
			}
			if (polygon.Region{{line[i], line[i+1]}}).CrossedBy(line[j], line[j+1]) {
				return false
			}
		}
	}
	return true
}

// wallLines collects the medial lines of sections, in their order: of what is solid,
// and of holes in it.
func wallLines(cuts []*section.Section) (solid, holes [][]r2.Vec) {
	looked := 0
	for _, s := range cuts {
		for _, c := range s.Contours {
			if looked == maxOutlines || len(solid) == maxLines {
				return solid, holes
			}
			switch area := polygon.SignedArea(c); {
			case area > noArea && !holds(s, c):
				if line := wallLine(c); line != nil {
					looked++
					solid = withLine(solid, line)
				}
			case area < -noArea && len(holes) < maxLines/2:
				turned := make([]r2.Vec, len(c))
				for i, p := range c {
					turned[len(c)-1-i] = p
				}
				if line := wallLine(turned); line != nil {
					looked++
					holes = withLine(holes, line)
				}
			}
		}
	}
	return solid, holes
}

// holds reports that a hole of the section lies in the outline.
func holds(s *section.Section, outline []r2.Vec) bool {
	for _, c := range s.Contours {
		if polygon.SignedArea(c) < 0 && polygon.ContourContains(outline, c[0]) {
			return true
		}
	}
	return false
}

// withLine adds a line unless it is there already, nearly.
func withLine(lines [][]r2.Vec, line []r2.Vec) [][]r2.Vec {
	for _, o := range lines {
		if strays(o, line) < sameLine && strays(line, o) < sameLine {
			return lines
		}
	}
	return append(lines, line)
}

// strays returns how far the points of a line are from another, at most.
func strays(line, from []r2.Vec) float64 {
	worst := 0.0
	for _, p := range line {
		worst = math.Max(worst, fromLine(p, from))
	}
	return worst
}

// fromLine returns how far a place is from a line, mm.
func fromLine(p r2.Vec, line []r2.Vec) float64 {
	if len(line) == 1 {
		return distance(p, line[0])
	}
	least := math.Inf(1)
	for i := 1; i < len(line); i++ {
		least = math.Min(least, polygon.SegmentDistance(p, line[i-1], line[i]))
	}
	return least
}

// ridges returns ridges about the medial lines of what stands on the bed, of bodies
// and of slots.
func (s *sections) ridges(r *reach) []Field {
	order := make([]*section.Section, 0, len(s.cuts))
	order = append(order, &s.cuts[0])
	for step := 8; step >= 1; step /= 2 { // spread over the part first
		for i := step; i < len(s.cuts); i += 2 * step {
			order = append(order, &s.cuts[i])
		}
	}
	solid, holes := wallLines(order)
	var out []Field
	for n, angle := range r.angles() {
		if n == 2 {
			break
		}
		for _, line := range solid {
			out = append(out, Field{Kind: Ridge, AngleDeg: angle, Line: line}.rounded())
		}
		for _, line := range holes {
			out = append(out, Field{Kind: Ridge, AngleDeg: angle, Line: line, Inward: true}.rounded())
		}
	}
	return out
}

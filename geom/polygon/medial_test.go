package polygon

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// wallAbout returns the outline of a wall of a width about a line, square at its ends.
func wallAbout(width float64, line ...r2.Vec) Region {
	var left, right []r2.Vec
	for i, p := range line {
		a, b := line[max(0, i-1)], line[min(len(line)-1, i+1)]
		var n r2.Vec // to the left, as long as keeps both segments' width
		if i == 0 || i == len(line)-1 {
			d := r2.Unit(r2.Sub(b, a))
			n = r2.Vec{X: -d.Y, Y: d.X}
		} else {
			d, e := r2.Unit(r2.Sub(p, a)), r2.Unit(r2.Sub(b, p))
			m := r2.Unit(r2.Add(r2.Vec{X: -d.Y, Y: d.X}, r2.Vec{X: -e.Y, Y: e.X}))
			n = r2.Scale(1/r2.Dot(m, r2.Vec{X: -d.Y, Y: d.X}), m)
		}
		left = append(left, r2.Add(p, r2.Scale(width/2, n)))
		right = append(right, r2.Sub(p, r2.Scale(width/2, n)))
	}
	for i := len(left) - 1; i >= 0; i-- {
		right = append(right, left[i])
	}
	return Region{right}
}

func lineDistance(p r2.Vec, line []r2.Vec) float64 {
	least := math.Inf(1)
	for i := 1; i < len(line); i++ {
		least = math.Min(least, SegmentDistance(p, line[i-1], line[i]))
	}
	return least
}

// Walls are made about a known line: the line that is found must be that one.
func TestMedialLineOfAWallIsTheLineItWasMadeAbout(t *testing.T) {
	var bow, wave []r2.Vec
	for i := range 25 {
		sin, cos := math.Sincos(float64(i) / 24 * math.Pi / 2)
		bow = append(bow, r2.Vec{X: 40 * cos, Y: 40 * sin})
		wave = append(wave, r2.Vec{X: 3 * float64(i), Y: 8 * math.Sin(float64(i)/4)})
	}
	for _, c := range []struct {
		name  string
		width float64
		line  []r2.Vec
		off   float64 // allowed, mm
	}{
		{"straight", 4, []r2.Vec{{X: 125, Y: 75}, {X: 125, Y: 135}}, 0.01},
		{"askew", 3, []r2.Vec{{X: -20, Y: -7}, {X: 31, Y: 22}}, 0.05},
		{"thin and long", 1.2, []r2.Vec{{X: 0, Y: 0}, {X: 180, Y: 10}}, 0.05},
		{"corner", 4, []r2.Vec{{X: 0, Y: 40}, {X: 0, Y: 0}, {X: 50, Y: 0}}, 0.8},
		{"bow", 5, bow, 0.4},
		{"wave", 3, wave, 0.5},
	} {
		line, width := MedialLine(wallAbout(c.width, c.line...))
		if len(line) < 2 {
			t.Errorf("%s: no line", c.name)
			continue
		}
		if math.Abs(width-c.width) > 0.25*c.width {
			t.Errorf("%s: %.2f mm wide, made %.2f", c.name, width, c.width)
		}
		for _, way := range [2][2][]r2.Vec{{line, c.line}, {c.line, line}} {
			for _, p := range way[0] {
				if d := lineDistance(p, way[1]); d > c.off {
					t.Errorf("%s: %.3f of %d points is %.2f mm off", c.name, p, len(line), d)
				}
			}
		}
		if len(line) > 32 {
			t.Errorf("%s: %d points", c.name, len(line))
		}
	}
}

func TestMedialLineTakesTheLongestWayThroughBranches(t *testing.T) {
	tee := Region{{
		{X: -30, Y: -2}, {X: -2, Y: -2}, {X: -2, Y: -15}, {X: 2, Y: -15}, {X: 2, Y: -2}, {X: 30, Y: -2}, {X: 30, Y: 2}, {X: -30, Y: 2},
	}}
	line, _ := MedialLine(tee)
	for _, p := range []r2.Vec{{X: -29.9, Y: 0}, {X: 29.9, Y: 0}, {X: 0, Y: 0}} {
		if d := lineDistance(p, line); d > 1 { // it may lean into the branch
			t.Errorf("%v passes %v by %.2f mm", line, p, d)
		}
	}
}

func TestMedialLineOfNothingIsNone(t *testing.T) {
	for _, r := range []Region{nil, {{}}, {{{X: 1}, {X: 2}, {X: 3}}}} {
		if line, _ := MedialLine(r); line != nil {
			t.Errorf("%v has the line %v", r, line)
		}
	}
}

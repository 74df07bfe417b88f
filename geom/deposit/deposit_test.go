package deposit_test

import (
	"math"
	"testing"

	"conewright/geom/deposit"
	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	shell = 0.2
	width = 0.45
	rim   = 0.4
)

// upright is the axis of a straight nozzle.
var upright = r3.Vec{Z: 1}

// levelZone prints level layers on the bed.
func levelZone() []deposit.Zone {
	return []deposit.Zone{{Field: &field.Field{}, LayerHeight: shell, Width: width}}
}

// row returns a straight bead of a straight nozzle, its tip at height z.
func row(x0, y0, x1, y1, z float64) []deposit.Move {
	a, b := r3.Vec{X: x0, Y: y0, Z: z}, r3.Vec{X: x1, Y: y1, Z: z}
	high := r3.Vec{X: x0, Y: y0, Z: z + 2}
	return []deposit.Move{
		{From: high, To: a, FromAxis: upright, ToAxis: upright},
		{From: a, To: b, FromAxis: upright, ToAxis: upright, Lays: true, Line: 7},
	}
}

func judged(zones []deposit.Zone, moves ...[]deposit.Move) *deposit.Report {
	j := deposit.New(zones, rim)
	for _, m := range moves {
		for i := range m {
			j.Add(&m[i])
		}
	}
	return j.Report()
}

func TestWhatABeadRestsOn(t *testing.T) {
	low := row(0, 0, 20, 0, 0.2) // on the bed
	for _, c := range []struct {
		name    string
		moves   [][]deposit.Move
		hanging float64
	}{
		{"on the bed", [][]deposit.Move{low}, 0},
		{"on a bead", [][]deposit.Move{low, row(0, 0, 20, 0, 0.4), row(0, 0, 20, 0, 0.6)}, 0},
		{"on a bead on one just within reach to the side", [][]deposit.Move{low, row(0, 0, 20, 0, 0.4), row(0, 0.26, 20, 0.26, 0.6)}, 0},
		{"beside a bead", [][]deposit.Move{low, row(0, 0, 20, 0, 0.4), row(0, 0.45, 20, 0.45, 0.6)}, 20},
		{"too far over a bead", [][]deposit.Move{low, row(0, 0, 20, 0, 0.9)}, 20},
		{"the far half over nothing", [][]deposit.Move{low, row(0, 0, 20, 0, 0.4), row(0, 0, 30, 0, 0.6)}, 10 - 0.6*width},
		{"short bridges", [][]deposit.Move{low, row(0, 4.5, 20, 4.5, 0.2), row(0, 0, 20, 0, 0.4), row(0, 4.5, 20, 4.5, 0.4), row(10, 0, 10, 4.5, 0.6)}, 0},
		{"goes on over a crumb", [][]deposit.Move{row(0, 0, 4, 0, 3), crumb(4, 3), row(4.005, 0, 8, 0, 3)[1:]}, 8},
		{"ends where filament is drawn back", [][]deposit.Move{row(0, 0, 4, 0, 3), {{From: r3.Vec{X: 4, Z: 3}, To: r3.Vec{X: 4, Z: 3}, Retracts: true}}, row(4, 0, 8, 0, 3)[1:]}, 0},
		{"support holds", [][]deposit.Move{support(low), support(row(0, 0, 20, 0, 0.4)), row(0, 0, 20, 0, 0.6)}, 0},
		{"support isn't judged", [][]deposit.Move{support(row(0, 0, 20, 0, 3))}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := judged(levelZone(), c.moves...)
			if math.Abs(r.Hanging-c.hanging) > 0.21 {
				t.Errorf("%.2f mm hang, want %.2f", r.Hanging, c.hanging)
			}
			if c.hanging > 0 && (len(r.Hangs) != 1 || r.Hangs[0].Line != 7 || len(r.Hangs[0].Points) < int(c.hanging)) {
				t.Errorf("hangs are %+v", r.Hangs)
			}
		})
	}
}

// crumb is a move of 5 micrometres without filament.
func crumb(x, z float64) []deposit.Move {
	return []deposit.Move{{From: r3.Vec{X: x, Z: z}, To: r3.Vec{X: x + 0.005, Z: z}, FromAxis: upright, ToAxis: upright}}
}

// support marks moves as support's.
func support(moves []deposit.Move) []deposit.Move {
	out := append([]deposit.Move(nil), moves...)
	for i := range out {
		out[i].Support = true
	}
	return out
}

// shallowShell returns a shell of a ramp that falls toward +y, laid by a straight
// nozzle in level rows 0.4 mm apart in plan, from y = 0 on or toward it.
func shallowShell(angle float64, fromLow bool) ([]deposit.Zone, [][]deposit.Move) {
	f := field.NewRamp(angle, math.Pi/2)
	h := shell / math.Cos(angle)
	zones := []deposit.Zone{{Field: &f, LayerHeight: h, Width: width}}
	const rows, pitch = 10, 0.4
	var out [][]deposit.Move
	for i := range rows {
		y := pitch * float64(i)
		if fromLow {
			y = pitch * float64(rows-1-i)
		}
		out = append(out, row(0, y, 20, y, 5-math.Tan(angle)*y))
	}
	return zones, out
}

// On a ramp of 15 degrees the rim of a straight nozzle, 0.4 mm in radius, is
// over the uphill neighbour's flat top: that rises to 0.4 tan(15 degrees) over
// the tip there (geometry).
func TestRimPloughsTheUphillNeighbour(t *testing.T) {
	const angle = 15 * math.Pi / 180
	zones, moves := shallowShell(angle, false)
	r := judged(zones, moves...)
	if want := rim * math.Tan(angle); math.Abs(r.Digs.Deepest.Depth-want) > 0.002 {
		t.Errorf("laid downhill, the rim digs %.4f mm, want %.4f", r.Digs.Deepest.Depth, want)
	}
	if want := 9 * 20.0; math.Abs(r.Digs.BeadLength-want) > 1 {
		t.Errorf("the rim digs along %.1f mm, want %.0f", r.Digs.BeadLength, want)
	}
	zones, moves = shallowShell(angle, true)
	if r := judged(zones, moves...); r.Digs.Deepest.Depth > 0.02 {
		t.Errorf("laid uphill, the rim digs %.4f mm", r.Digs.Deepest.Depth)
	}
}

// A travel 0.1 mm under the tops of four beads, square to them.
func TestTravelThroughBeads(t *testing.T) {
	var moves [][]deposit.Move
	for i := range 4 {
		moves = append(moves, row(0, float64(3*i), 20, float64(3*i), 0.2))
	}
	a, b := r3.Vec{X: 10, Y: -5, Z: 0.1}, r3.Vec{X: 10, Y: 20, Z: 0.1}
	moves = append(moves, []deposit.Move{
		{From: r3.Vec{X: 40, Y: -5, Z: 0.1}, To: a, FromAxis: upright, ToAxis: upright},
		{From: a, To: b, FromAxis: upright, ToAxis: upright, Line: 9},
	})
	r := judged(levelZone(), moves...)
	d := r.Digs
	if math.Abs(d.Deepest.Depth-0.1) > 1e-4 || !d.Deepest.Travel || d.Deepest.Line != 9 {
		t.Errorf("the deepest dig is %+v", d.Deepest)
	}
	// Over each bead while its flat top, 0.25 mm wide, lies under the rim.
	if want := 4 * (2*rim + width - shell); math.Abs(d.TravelLength-want) > 4*0.2 || d.BeadLength != 0 {
		t.Errorf("the rim digs along %.2f mm of travels, want %.2f, and %.2f mm of beads", d.TravelLength, want, d.BeadLength)
	}
}

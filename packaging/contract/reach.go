package contract

import (
	"math"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// reach finds how square a machine's axes can stand a nozzle on a shell, by
// trying.
type reach struct {
	kin    *reading.Kinematics
	limits [2][2]float64 // of the turning words
	tried  []reading.Words
	backs  []r3.Vec
	known  map[[3]int]float64
}

func newReach(m *reading.Machine, kin *reading.Kinematics) *reach {
	r := &reach{kin: kin, known: map[[3]int]float64{}}
	turnings := m.Turnings()
	for i, a := range turnings {
		r.limits[i] = [2]float64{a.Zero, a.Zero + 360}
		if a.Range != nil && a.Range[1]-a.Range[0] < 360 {
			r.limits[i] = *a.Range
		}
	}
	step := 0.5
	if len(turnings) == 2 {
		step = 3
	}
	for a := r.limits[0][0]; ; a += step {
		for b := r.limits[1][0]; ; b += step {
			w := reading.Words{Turn: [2]float64{math.Min(a, r.limits[0][1]), math.Min(b, r.limits[1][1])}}
			r.tried = append(r.tried, w)
			r.backs = append(r.backs, kin.Pose(w).Back)
			if b >= r.limits[1][1] {
				break
			}
		}
		if a >= r.limits[0][1] {
			break
		}
	}
	return r
}

// best is the least angle, in degrees, between the nozzle and a direction.
func (r *reach) best(n r3.Vec) float64 {
	const grid = 400 // a seventh of a degree
	key := [3]int{int(math.Round(n.X * grid)), int(math.Round(n.Y * grid)), int(math.Round(n.Z * grid))}
	if known, ok := r.known[key]; ok {
		return known
	}
	at, most := 0, -2.0
	for i, b := range r.backs {
		if d := r3.Dot(b, n); d > most {
			at, most = i, d
		}
	}
	w := r.tried[at]
	for step := 2.0; step > 0.01; {
		moved := false
		for i := range 2 {
			for _, by := range []float64{-step, step} {
				next := w
				next.Turn[i] = math.Max(r.limits[i][0], math.Min(r.limits[i][1], w.Turn[i]+by))
				if d := r3.Dot(r.kin.Pose(next).Back, n); d > most+1e-15 {
					w, most, moved = next, d, true
				}
			}
		}
		if !moved {
			step /= 2
		}
	}
	r.known[key] = math.Acos(math.Max(-1, math.Min(1, most))) * 180 / math.Pi
	return r.known[key]
}

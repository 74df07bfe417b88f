package machine

import "math"

// Axes is the number of axes that a move runs over: x, y, z, the turning ones, e.
const Axes = 4 + MostTurning

// The axes in the order of an Estimator's steps; the turning ones follow each
// other from AxisTurn on, in the card's order.
const (
	AxisX = iota
	AxisY
	AxisZ
	AxisTurn
	AxisE = AxisTurn + MostTurning
)

// cornerTime is the time, s, within which an axis is taken to manage a step of
// its speed at a corner: 10 mm/s for an axis that accelerates by 1000 mm/s2
// (common practice, no source: controllers are set to about that).
const cornerTime = 0.01

// lookAhead is the number of moves among which speeds are balanced. What comes
// after them is not known yet, so that the last of them is taken to end at
// rest. Half of them are then settled, hundreds of moves before that end.
const lookAhead = 1024

// Estimator estimates how long a machine takes for a stream of moves, in
// constant memory. The model: along each move the speed rises, holds and falls
// in a trapezoid, as steep as the slowest of its axes allows, and no faster than
// was asked for or than an axis can; from one move to the next no axis' speed
// jumps by more than its acceleration times cornerTime; a move without way in
// x, y and z (turning only, filament only) begins and ends at rest. Where a bed
// turns it makes the way of many beads alone: there turning is way too, degrees
// counted as mm. The zero value is not usable: see NewEstimator.
type Estimator struct {
	bed          bool          // turning is way
	speed, accel [Axes]float64 // greatest; infinite: no limit
	last         [Axes]float64 // direction of the newest move, by its length
	moved        bool          // the newest move has a way
	ramps        []ramp        // not settled yet
	entry        float64       // speed at which ramps[0] begins, settled
	total        float64       // s, of what is settled
}

// ramp is one move as a length and speeds along it.
type ramp struct {
	length, cruise, accel float64
	corner                float64 // greatest speed at its begin
}

// NewEstimator returns an estimator for a card's axes.
func NewEstimator(c *Card) *Estimator {
	e := &Estimator{
		bed:   c.BedTurns(),
		speed: [Axes]float64{AxisX: c.MaxSpeed.X, AxisY: c.MaxSpeed.Y, AxisZ: c.MaxSpeed.Z, AxisE: c.MaxSpeed.E},
		accel: [Axes]float64{AxisX: c.MaxAccel.X, AxisY: c.MaxAccel.Y, AxisZ: c.MaxAccel.Z, AxisE: c.MaxAccel.E},
	}
	turning := c.Turning()
	for i := range MostTurning {
		e.speed[AxisTurn+i], e.accel[AxisTurn+i] = math.Inf(1), math.Inf(1)
		if i < len(turning) {
			e.speed[AxisTurn+i], e.accel[AxisTurn+i] = turning[i].MaxSpeed, turning[i].MaxAccel
		}
	}
	return e
}

// Add appends a move: the steps of its words in mm and, for turning axes,
// degrees, and the seconds that its feed word wants it to take at full speed; 0:
// as fast as the axes can. Moves without any step, and steps that are no
// numbers, take no time.
func (e *Estimator) Add(step [Axes]float64, seconds float64) {
	way := step[AxisX]*step[AxisX] + step[AxisY]*step[AxisY] + step[AxisZ]*step[AxisZ]
	for i := AxisTurn; i < AxisTurn+MostTurning && e.bed; i++ {
		way += step[i] * step[i]
	}
	length := math.Sqrt(way)
	moved := length > 0
	for i := AxisTurn; i < Axes && !moved; i++ {
		length = max(length, math.Abs(step[i]))
	}
	if !(length > 0) || math.IsInf(length, 0) {
		return
	}
	r := ramp{length: length, cruise: math.Inf(1), accel: math.Inf(1)}
	if seconds > 0 {
		r.cruise = length / seconds
	}
	var dir [Axes]float64
	for i, s := range step {
		if math.IsNaN(s) || s == 0 {
			continue
		}
		dir[i] = s / length
		share := math.Abs(dir[i])
		if r.cruise*share > e.speed[i] { // most axes bound nothing: divide for those that do
			r.cruise = e.speed[i] / share
		}
		if r.accel*share > e.accel[i] {
			r.accel = e.accel[i] / share
		}
	}
	if moved && e.moved {
		r.corner = min(r.cruise, e.corner(&dir))
		if n := len(e.ramps); n > 0 {
			r.corner = min(r.corner, e.ramps[n-1].cruise)
		}
	}
	e.last, e.moved = dir, moved
	e.ramps = append(e.ramps, r)
	if len(e.ramps) == lookAhead {
		e.settle(lookAhead / 2)
	}
}

// corner returns the greatest speed at which the newest move may turn into one
// of direction dir.
func (e *Estimator) corner(dir *[Axes]float64) float64 {
	v := math.Inf(1)
	for i := range dir {
		if jump := math.Abs(dir[i] - e.last[i]); v*jump > e.accel[i]*cornerTime {
			v = e.accel[i] * cornerTime / jump
		}
	}
	return v
}

// settle adds up the first n of the moves that wait: backward, how fast each
// may begin so that all that follow can brake in time; forward, how fast it
// gets.
func (e *Estimator) settle(n int) {
	begin := make([]float64, len(e.ramps)+1)
	for i := len(e.ramps) - 1; i >= 0; i-- {
		r := &e.ramps[i]
		begin[i] = min(r.corner, reach(begin[i+1], r))
	}
	begin[0] = e.entry // was settled with less in sight, so it isn't more
	for i := range n {
		r := &e.ramps[i]
		begin[i+1] = min(begin[i+1], reach(begin[i], r))
		e.total += r.seconds(begin[i], begin[i+1])
	}
	e.entry = begin[n]
	e.ramps = append(e.ramps[:0], e.ramps[n:]...)
}

// reach returns the greatest speed after a move that begins with speed v.
func reach(v float64, r *ramp) float64 {
	return min(r.cruise, math.Sqrt(v*v+2*r.accel*r.length))
}

// seconds returns how long a move takes from speed v0 to v1.
func (r *ramp) seconds(v0, v1 float64) float64 {
	top := min(r.cruise, math.Sqrt(r.accel*r.length+(v0*v0+v1*v1)/2))
	if math.IsInf(top, 1) {
		return 0 // nothing bounds it
	}
	t, way := 0.0, r.length
	for _, v := range [2]float64{v0, v1} {
		if top > v && !math.IsInf(r.accel, 1) {
			t += (top - v) / r.accel
			way -= (top*top - v*v) / (2 * r.accel)
		}
	}
	return t + max(0, way)/top
}

// Total returns the seconds of all moves so far, the last one ending at rest.
// More moves may follow.
func (e *Estimator) Total() float64 {
	rest := Estimator{entry: e.entry, total: e.total, ramps: append([]ramp(nil), e.ramps...)}
	rest.settle(len(rest.ramps))
	return rest.total
}

package readback

import (
	"math"

	"conewright/geom/machine"
)

// meter takes the figures of a file that need no source.
type meter struct {
	card   *machine.Card
	axes   []machine.Rotary // the turning ones
	swivel int              // of axes: that which turns the azimuth
	time   *machine.Estimator
	second [64]float64 // times at which recent moves began
	timed  int         // zones that have begun
	began  float64     // when the newest did, s
	course course
	report Report // of it: Moves, heights, seconds, speeds, rates
}

func newMeter(card *machine.Card, zones int) *meter {
	m := &meter{card: card, axes: card.Turning(), swivel: card.AzimuthIndex(), time: machine.NewEstimator(card)}
	m.report.LowestZ = math.Inf(1)
	for i := range m.report.Reach {
		m.report.Reach[i] = machine.Limits{math.Inf(1), math.Inf(-1)}
	}
	m.report.ZoneSeconds = make([]float64, zones)
	return m
}

func (m *meter) add(s *Step) {
	r := &m.report
	m.timeZone(s.Zone + 1)
	m.rate(s)
	r.Moves++
	r.FeedSeconds += s.Seconds
	m.time.Add(s.AxisSteps(), s.Seconds)
	if z := s.To.Tip.Z; s.Known || z != 0 && !m.card.Slants() {
		r.LowestZ = min(r.LowestZ, z)
	}
	if s.Known {
		m.reach(&s.Words[0])
		m.reach(&s.Words[1])
	}
	zero := 0.0
	for i := range m.axes {
		r.Winding = max(r.Winding, math.Abs(s.Words[1].Turn[i]-m.axes[i].Zero))
		if i != m.swivel {
			continue
		}
		zero = m.axes[i].Zero
		if s.Seconds > 0 && s.Known {
			r.SwivelSpeed = max(r.SwivelSpeed, math.Abs(s.Words[1].Turn[i]-s.Words[0].Turn[i])/s.Seconds)
		}
	}
	flow := 0.0
	if s.Lays() && s.Seconds > 0 {
		flow = s.E * m.card.FilamentArea() / s.Seconds
		r.Flow = max(r.Flow, flow)
	}
	m.course.add(r.FeedSeconds, s, m.swivel, zero, flow)
}

// reach takes words that the machine stands at.
func (m *meter) reach(w *machine.Words) {
	for i, v := range [3]float64{w.X, w.Y, w.Z} {
		l := &m.report.Reach[i]
		l[0], l[1] = min(l[0], v), max(l[1], v)
	}
}

// timeZone follows which zone runs, n being how many have begun.
func (m *meter) timeZone(n int) {
	if n != m.timed && n <= len(m.report.ZoneSeconds) {
		m.endTime()
		m.timed = n
	}
}

// endTime gives the zone that ran the time since it began.
func (m *meter) endTime() {
	now := m.time.Total()
	if m.timed > 0 {
		m.report.ZoneSeconds[m.timed-1] = now - m.began
	}
	m.began = now
}

// rate keeps the greatest number of moves a second, over runs of 64 moves.
func (m *meter) rate(s *Step) {
	r := &m.report
	now := r.FeedSeconds + s.Seconds
	i := r.Moves % len(m.second)
	if r.Moves >= len(m.second) {
		if t := now - m.second[i]; t > 0 {
			if n := float64(len(m.second)) / t; n > r.BusiestSecond {
				r.BusiestSecond, r.BusiestLine, r.BusiestAt = n, s.Line, s.To.Tip
			}
		}
	}
	m.second[i] = now
}

// AxisSteps returns how far each axis goes in a step, mm, turning axes degrees, as
// machine.Estimator takes it. A first move from an unknown place goes nowhere that
// can be told.
func (s *Step) AxisSteps() [machine.Axes]float64 {
	var d [machine.Axes]float64
	if s.Known {
		a, b := &s.Words[0], &s.Words[1]
		d[machine.AxisX], d[machine.AxisY], d[machine.AxisZ] = b.X-a.X, b.Y-a.Y, b.Z-a.Z
		for i := range machine.MostTurning {
			d[machine.AxisTurn+i] = b.Turn[i] - a.Turn[i]
		}
	}
	d[machine.AxisE] = s.E
	return d
}

// total returns the report, once the file has been read.
func (m *meter) total() Report {
	m.endTime()
	r := m.report
	if math.IsInf(r.LowestZ, 1) {
		r.LowestZ = 0
	}
	r.Seconds = m.began
	r.Course = m.course.scaled(r.FeedSeconds, r.Seconds)
	return r
}

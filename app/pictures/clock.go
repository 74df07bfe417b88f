package pictures

import (
	"sort"

	"conewright/geom/machine"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r3"
)

// clock tells when the moves of a file end, by the estimate that the run log
// gives too. That looks ahead, so it is asked only now and then; between, times
// go as the feed words say.
type clock struct {
	estimate    *machine.Estimator
	speed       float64 // of a rapid, mm/s
	moves       int
	before, now float64 // by the feed words: before and after the newest move
	words, real []float64
}

// checkEvery is how many moves go between two looks at the estimate.
const checkEvery = 512

func newClock(card *machine.Card) *clock {
	return &clock{estimate: machine.NewEstimator(card), speed: max(card.MaxSpeed.X, 1), words: []float64{0}, real: []float64{0}}
}

func (c *clock) add(s *readback.Step) {
	c.before = c.now
	switch {
	case s.Seconds > 0 && (s.Known || s.E != 0):
		c.now += s.Seconds
	case s.Known:
		c.now += r3.Norm(r3.Sub(s.To.Tip, s.From.Tip)) / c.speed
	}
	c.estimate.Add(s.AxisSteps(), s.Seconds)
	if c.moves++; c.moves%checkEvery == 0 {
		c.look()
	}
}

// look notes what the estimate says of now; times stay in order.
func (c *clock) look() {
	n := len(c.real)
	if c.now > c.words[n-1] {
		c.words, c.real = append(c.words, c.now), append(c.real, max(c.estimate.Total(), c.real[n-1]))
	}
}

// set turns the times of points from those of the feed words into those of the
// estimate, stretched to end at the given seconds; 0: as it says.
func (c *clock) set(points []point, seconds float64) {
	c.look()
	stretch := 1.0
	if all := c.real[len(c.real)-1]; seconds > 0 && all > 0 {
		stretch = seconds / all
	}
	for i := range points {
		points[i].time = float32(stretch * c.at(float64(points[i].time)))
	}
}

// at returns the estimate for a time by the feed words.
func (c *clock) at(words float64) float64 {
	i := min(max(sort.SearchFloat64s(c.words, words), 1), len(c.words)-1)
	if i < 1 {
		return 0
	}
	share := (words - c.words[i-1]) / (c.words[i] - c.words[i-1])
	return c.real[i-1] + min(max(share, 0), 1)*(c.real[i]-c.real[i-1])
}

package readback

import "math"

// Sample is what a stretch of the motion came to.
type Sample struct {
	Seconds float64 // when it ends, since the motion began
	Z       float64 // of the tip at its end, mm
	Swivel  float64 // the swivel word at its end, degrees from the swivel's zero
	Flow    float64 // greatest on a bead, mm3/s
}

// courseMost is how many samples a course may have: more than a chart shows.
const courseMost = 600

// course samples the motion in stretches of equal time. When they get too many,
// each two become one.
type course struct {
	width   float64 // of a stretch, s
	samples []Sample
}

func (c *course) add(now float64, s *Step, axis int, zero, flow float64) {
	if c.width == 0 {
		c.width = 1
	}
	n := len(c.samples)
	if n == 0 || now > c.samples[n-1].Seconds {
		if n == courseMost {
			c.halve()
			n = len(c.samples)
		}
		c.samples = append(c.samples, Sample{Seconds: c.width * math.Ceil(now/c.width)})
		n++
	}
	last := &c.samples[n-1]
	last.Z = s.To.Tip.Z
	last.Swivel = s.Words[1].Turn[axis] - zero
	last.Flow = math.Max(last.Flow, flow)
}

func (c *course) halve() {
	c.width *= 2
	kept := c.samples[:0]
	for _, s := range c.samples {
		s.Seconds = c.width * math.Ceil(s.Seconds/c.width)
		if n := len(kept); n > 0 && kept[n-1].Seconds == s.Seconds {
			s.Flow = math.Max(s.Flow, kept[n-1].Flow)
			kept[n-1] = s
			continue
		}
		kept = append(kept, s)
	}
	c.samples = kept
}

// scaled returns the samples with their times stretched so that by feed words
// alone becomes the printing time.
func (c *course) scaled(feedSeconds, seconds float64) []Sample {
	if feedSeconds > 0 {
		for i := range c.samples {
			c.samples[i].Seconds *= seconds / feedSeconds
		}
	}
	return c.samples
}

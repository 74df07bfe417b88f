package readback

import (
	"math"
	"testing"
)

func TestCourseKeepsItsPeaks(t *testing.T) {
	for _, steps := range []int{10, 5000, 100000} {
		var c course
		s := &Step{}
		for i := range steps {
			s.To.Tip.Z = float64(i)
			flow := 1.0
			if i == steps*2/3 {
				flow = 9
			}
			c.add(0.7*float64(i+1), s, 0, 0, flow)
		}
		got := c.scaled(0.7*float64(steps), 1.4*float64(steps))
		peak, last := 0.0, got[len(got)-1]
		for i, v := range got {
			if i > 0 && v.Seconds <= got[i-1].Seconds {
				t.Fatalf("%d steps: sample %d at %g s, the one before at %g s", steps, i, v.Seconds, got[i-1].Seconds)
			}
			if v.Flow > peak {
				peak = v.Flow
			}
		}
		if len(got) > courseMost || steps > courseMost && len(got) < courseMost/3 {
			t.Errorf("%d steps: %d samples", steps, len(got))
		}
		if peak != 9 || last.Z != float64(steps-1) || math.Abs(last.Seconds-1.4*float64(steps)) > 2*2*c.width {
			t.Errorf("%d steps: peak %g, ends %+v", steps, peak, last)
		}
	}
}

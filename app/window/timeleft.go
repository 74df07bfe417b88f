package window

import (
	"math"
	"time"

	"conewright/i18n"
)

// timeLeft tells how long a run will still take. It is guessed anew where the run has
// come further, and counts down by the clock in between, when a stage tells nothing.
type timeLeft struct {
	begun time.Time // of the run that is told of
	done  float64   // the share that was done when it was guessed last
	ends  time.Time // by that guess
}

// Bounds of guessing: before them nothing is known of how fast the run is.
const (
	leastDone = 0.05
	leastTime = time.Second
)

// text says the time that is left of a run, a share of which is done; at first it
// says nothing.
func (l *timeLeft) text(begun, now time.Time, done float64) string {
	if l.begun != begun {
		*l = timeLeft{begun: begun}
	}
	so := now.Sub(begun)
	if done < leastDone || so < leastTime {
		return ""
	}
	if done > l.done {
		l.done, l.ends = done, now.Add(time.Duration(float64(so)*(1-done)/done))
	}
	seconds := int(math.Ceil(l.ends.Sub(now).Seconds()))
	if seconds < 1 {
		return i18n.T("bottom.soon")
	}
	return i18n.N("bottom.left", seconds)
}

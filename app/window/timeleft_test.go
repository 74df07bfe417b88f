package window

import (
	"testing"
	"time"

	"conewright/i18n"
)

func TestTheTimeThatIsLeftCountsDownWhileAStageTellsNothing(t *testing.T) {
	if err := i18n.Use("en"); err != nil {
		t.Fatal(err)
	}
	var l timeLeft
	begun := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		seconds float64
		done    float64
		want    string
	}{
		{0.5, 0.5, ""}, // too early
		{10, 0.02, ""}, // too little done
		{10, 0.25, "about 30 s left"},
		{14, 0.25, "about 26 s left"}, // nothing told since: the clock goes on
		{20, 0.50, "about 20 s left"},
		{39.5, 0.50, "about 1 s left"},
		{45, 0.50, "nearly done"},
		{50, 0.80, "about 13 s left"}, // it took longer than was guessed
	} {
		if got := l.text(begun, begun.Add(time.Duration(c.seconds*float64(time.Second))), c.done); got != c.want {
			t.Errorf("after %g s, %g done: %q, want %q", c.seconds, c.done, got, c.want)
		}
	}
	next := begun.Add(time.Minute)
	if got := l.text(next, next.Add(10*time.Second), 0.1); got != "about 90 s left" {
		t.Errorf("another run: %q", got)
	}
}

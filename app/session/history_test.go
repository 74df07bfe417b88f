package session

import (
	"testing"

	"conewright/geom/job"

	"pgregory.net/rapid"
)

// A list of numbers and an index is the obviously right history.
func TestHistoryIsAListOfSetups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		setups := []*job.Setup{{}}
		at := 0
		h := NewHistory(setups[0])
		for range rapid.IntRange(0, 60).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"do", "undo", "redo"}).Draw(t, "what") {
			case "do":
				next := &job.Setup{}
				setups = append(setups[:at+1:at+1], next)
				at++
				h.Do(next, "step")
			case "undo":
				if h.Undo() != (at > 0) {
					t.Fatal("undo disagrees")
				}
				at = max(at-1, 0)
			case "redo":
				if h.Redo() != (at < len(setups)-1) {
					t.Fatal("redo disagrees")
				}
				at = min(at+1, len(setups)-1)
			}
			if h.Now() != setups[at] {
				t.Fatal("another setup is shown")
			}
			if (h.UndoName() == "") != (at == 0) || (h.RedoName() == "") != (at == len(setups)-1) {
				t.Fatalf("names %q %q at %d of %d", h.UndoName(), h.RedoName(), at, len(setups))
			}
		}
	})
}

func TestHistoryIsBounded(t *testing.T) {
	h := NewHistory(&job.Setup{})
	for range maxSteps + 50 {
		h.Do(&job.Setup{}, "step")
	}
	n := 0
	for h.Undo() {
		n++
	}
	if n != maxSteps-1 {
		t.Errorf("%d steps back", n)
	}
}

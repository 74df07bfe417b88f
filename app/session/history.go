// Package session holds what the window works on: the setup with its history,
// the job file it came from, autosave, and work in the background. It knows no
// widgets.
package session

import "conewright/geom/job"

// maxSteps bounds the history; a setup is a few kilobytes.
const maxSteps = 500

// step is a setup and the name of what led to it.
type step struct {
	setup *job.Setup
	name  string
}

// History is a list of setups, none of which ever changes. It isn't safe for
// use by several goroutines.
type History struct {
	steps []step
	at    int
}

// NewHistory starts a history at a setup.
func NewHistory(first *job.Setup) *History {
	return &History{steps: []step{{setup: first}}}
}

// Now returns the present setup.
func (h *History) Now() *job.Setup { return h.steps[h.at].setup }

// Do appends a setup; what was undone before can't be redone any more.
func (h *History) Do(next *job.Setup, name string) {
	h.steps = append(h.steps[:h.at+1], step{next, name})
	if len(h.steps) > maxSteps {
		h.steps = append([]step(nil), h.steps[len(h.steps)-maxSteps:]...)
	}
	h.at = len(h.steps) - 1
}

// Undo steps back; false where there is nothing to undo.
func (h *History) Undo() bool {
	if h.at == 0 {
		return false
	}
	h.at--
	return true
}

// Redo steps forward again; false where there is nothing to redo.
func (h *History) Redo() bool {
	if h.at == len(h.steps)-1 {
		return false
	}
	h.at++
	return true
}

// UndoName names the step that Undo would take back, "" for none.
func (h *History) UndoName() string { return h.steps[h.at].name }

// RedoName names the step that Redo would take again, "" for none.
func (h *History) RedoName() string {
	if h.at == len(h.steps)-1 {
		return ""
	}
	return h.steps[h.at+1].name
}

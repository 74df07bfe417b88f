package job

import "conewright/geom/message"

// findChanged stops a run whose part isn't the file on disk any more: people
// would print another part than the one that they look at.
func (r *run) findChanged() {
	read := r.result.Model.sources()
	for i, one := range r.setup.Single() {
		now, err := sumOf(one.PartPath(), one.Part.File)
		switch {
		case err != nil:
			r.find(Stop, "changed", "", 0, [3]float64{}, "the part's file %s can't be read any more (%s): put it back, or open it again", read[i].File, message.Of(err))
		case now != read[i]:
			r.find(Stop, "changed", "", 0, [3]float64{}, "the part's file %s was changed since it was read: read it again", read[i].File)
		}
	}
}

// Changed reports whether a part's file isn't what the model was read from any
// more. It reads the whole file.
func (m *Model) Changed(s *Setup) bool {
	read := m.sources()
	for i, one := range s.Single() {
		now, err := sumOf(one.PartPath(), one.Part.File)
		if err != nil || i >= len(read) || now != read[i] {
			return true
		}
	}
	return false
}

// unchecked says in plain words what a run doesn't prove.
func (r *run) unchecked() []string {
	return []string{
		"The way of the machine's start and end isn't held against the part, the bed or obstacles.",
		"Hoses, cables and parts of the machine that the card doesn't describe aren't known here.",
		"Whether the part sticks to the bed and cools fast enough shows only in the print.",
	}
}

package session

import "conewright/geom/job"

// aside is the user's own work while something else lies in its place.
type aside struct {
	history *History
	path    string
	saved   *job.Setup
	facts   *Facts
	run     Run
	part    int
	earlier earlier
}

// unsaved is what Unsaved reports of it.
func (a *aside) unsaved() bool { return a.history != nil && a.history.Now() != a.saved }

// PutAside puts another setup in the place of the user's work, which is kept
// untouched, with its history, until TakeBack. Called again it replaces the
// other setup only. A run under way is cancelled.
func (s *Session) PutAside(setup *job.Setup) {
	if s.aside == nil {
		s.preview = nil
		s.autosave() // before nothing is kept any more
		s.Cancel()
		s.aside = &aside{history: s.history, path: s.path, saved: s.saved, facts: s.facts, run: s.run, part: s.part, earlier: s.earlier}
	}
	s.begin(setup, "", setup)
}

// Aside reports whether the user's work lies aside.
func (s *Session) Aside() bool { return s.aside != nil }

// TakeBack puts the user's work back, as it was at PutAside.
func (s *Session) TakeBack() {
	a := s.aside
	if a == nil {
		return
	}
	s.Cancel()
	s.DropIdeas()
	s.aside, s.preview = nil, nil
	s.history, s.path, s.saved, s.facts, s.run = a.history, a.path, a.saved, a.facts, a.run
	s.part, s.earlier = a.part, a.earlier
	s.opened++ // late facts of the other setup are nobody's
	s.refresh()
}

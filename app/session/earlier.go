package session

import "conewright/geom/job"

// earlier is what an earlier run left in the folder of what was opened.
type earlier struct {
	of  *job.Setup // the setup that it was held against
	run *job.Earlier
}

// Earlier returns what an earlier run left in the folder that a run would write to,
// nil for nothing. current reports whether it was held against the present setup.
// While another run has begun since it says nothing.
func (s *Session) Earlier() (run *job.Earlier, current bool) {
	if s.run.Setup != nil || s.earlier.run == nil || s.Setup() == nil {
		return nil, false
	}
	return s.earlier.run, s.earlier.of == s.Setup()
}

// findEarlier looks for an earlier run of what was just opened, in the background:
// it reads whole files.
func (s *Session) findEarlier(setup *job.Setup, out string, opened int) {
	s.earlier = earlier{}
	go func() {
		run, err := job.EarlierRun(out, setup)
		if err != nil || run == nil {
			return // nothing to tell: the next run will say what is wrong with the folder
		}
		s.post(func() {
			if s.opened == opened {
				s.earlier = earlier{setup, run}
				s.changed()
			}
		})
	}()
}

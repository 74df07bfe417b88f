package session

import (
	"context"

	"conewright/geom/job"
)

// Ideas are suggested plans, being looked for or found. The zero value: nobody
// asked yet.
type Ideas struct {
	Active bool
	Done   float64 // 0..1
	List   []job.Suggestion
	Err    error

	id     int
	cancel context.CancelFunc
}

// Ideas returns the newest suggestions.
func (s *Session) Ideas() *Ideas { return &s.ideas }

// Suggest looks for plans of the chosen part in the background. Nothing is applied by itself: see
// Adopt.
func (s *Session) Suggest() {
	if s.history == nil || s.ideas.Active || s.facts == nil || s.facts.Model == nil {
		return
	}
	setup, model := s.history.Now(), s.facts.Model
	if len(setup.Parts) > 0 {
		if setup, model = s.Chosen(), s.ChosenModel(); model == nil {
			return // not read yet
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	s.runs++
	id := s.runs
	s.ideas = Ideas{Active: true, id: id, cancel: cancel}
	progress := s.paced(func(_ string, done float64) {
		if s.ideas.id == id {
			s.ideas.Done = done
			s.changed()
		}
	})
	go func() {
		list, err := job.Suggestions(ctx, setup, model, func(done float64) { progress("", done) })
		cancel()
		s.post(func() {
			if s.ideas.id == id {
				s.ideas = Ideas{List: list, Err: err}
				s.changed()
			}
		})
	}()
	s.changed()
}

// DropIdeas forgets suggestions and ends looking for them.
func (s *Session) DropIdeas() {
	if s.ideas.cancel != nil {
		s.ideas.cancel()
	}
	s.ideas = Ideas{}
}

// Adopt takes a suggestion's zones, and the turn of the part for which they are, as
// a step of the history.
func (s *Session) Adopt(i int, name string) error {
	if i >= len(s.ideas.List) {
		return nil
	}
	plan := s.ideas.List[i].Setup.Clone()
	return s.Do(name, func(next *job.Setup) {
		next.TakeZones(plan.Zones)
		next.Part.Turn = plan.Part.Turn
	})
}

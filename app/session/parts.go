package session

import (
	"context"

	"conewright/geom/job"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// alone is the chosen part's setup, kept so that it stays the same value while
// nothing changes.
type alone struct {
	of, setup *job.Setup
	part      int
}

// Part returns the index of the chosen part; 0 where there is one.
func (s *Session) Part() int {
	setup := s.Setup()
	if setup == nil || s.part >= len(setup.Parts) {
		return 0 // undone, say
	}
	return s.part
}

// ChoosePart chooses one of several parts: what is changed from now on is that one.
func (s *Session) ChoosePart(i int) {
	if setup := s.Setup(); setup == nil || i == s.Part() || i < 0 || i >= len(setup.Parts) {
		return
	}
	s.part = i
	s.DropIdeas() // they were for another part
	s.changed()
}

// Chosen returns the setup of the chosen part as if it stood alone: Setup itself
// where there is one part.
func (s *Session) Chosen() *job.Setup {
	setup := s.Setup()
	if setup == nil || len(setup.Parts) == 0 {
		return setup
	}
	if i := s.Part(); s.chosen.of != setup || s.chosen.part != i {
		s.chosen = alone{setup, setup.Single()[i], i}
	}
	return s.chosen.setup
}

// ChosenModel returns the chosen part as it stands, nil until that is known of the
// present setup.
func (s *Session) ChosenModel() *job.Model {
	f := s.facts
	if f == nil || f.Model == nil || f.Setup != s.Setup() {
		return nil
	}
	if parts := f.Model.Parts(); s.Part() < len(parts) {
		return parts[s.Part()]
	}
	return nil
}

// AddPart adds the part of a file with the fields of a new job, on a free place of
// the bed, and chooses it. The file is read: its size tells where there is room.
func (s *Session) AddPart(path, step string) error {
	added, err := s.newPart(path)
	if err != nil {
		return err
	}
	card := s.Setup().Machine
	added = added.Clone()
	added.Machine = card // the bed is this machine's
	model, err := job.ReadModel(context.Background(), added)
	if err != nil {
		return err
	}
	return s.seatAndAdd(added, model, step)
}

// CopyPart adds a copy of the chosen part with its zones, on a free place of the
// bed, and chooses it.
func (s *Session) CopyPart(step string) error {
	model := s.ChosenModel()
	if model == nil {
		return nil // not read yet
	}
	return s.seatAndAdd(s.Chosen(), model, step)
}

// seatAndAdd adds a part where there is room.
func (s *Session) seatAndAdd(added *job.Setup, model *job.Model, step string) error {
	var standing []r3.Box
	if s.facts != nil && s.facts.Model != nil {
		for _, m := range s.facts.Model.Parts() {
			standing = append(standing, m.Mesh.Bounds())
		}
	}
	seat, ok := s.Setup().FreeSeat(model.Size, standing)
	if !ok {
		return message.Errorf("there is no room for another part of %.0f x %.0f mm on the bed; move the others together, or make a job of its own", model.Size.X, model.Size.Y)
	}
	added = added.Clone()
	added.MovePart(seat)
	at := 0
	if err := s.doAll(step, func(next *job.Setup) { at = next.AddPart(added) }); err != nil {
		return err
	}
	s.ChoosePart(at)
	return nil
}

// RemovePart takes the chosen part away.
func (s *Session) RemovePart(step string) error {
	at := s.Part()
	if err := s.doAll(step, func(next *job.Setup) { next.RemovePart(at) }); err != nil {
		return err
	}
	s.ChoosePart(max(at-1, 0))
	return nil
}

// PrintEarlier exchanges the chosen part with the one that prints before it.
func (s *Session) PrintEarlier(step string) error {
	at := s.Part()
	if at == 0 {
		return nil
	}
	if err := s.doAll(step, func(next *job.Setup) { next.SwapParts(at-1, at) }); err != nil {
		return err
	}
	s.ChoosePart(at - 1)
	return nil
}

// RenamePart names the chosen one of several parts.
func (s *Session) RenamePart(step, name string) error {
	at := s.Part()
	return s.doAll(step, func(next *job.Setup) {
		if at < len(next.Parts) {
			next.Parts[at].Name = name
		}
	})
}

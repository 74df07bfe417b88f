package session

import (
	"context"

	"conewright/app/pictures"
	"conewright/geom/job"
)

// Growth is how the present setup's part grows, in level layers and in the plan, as
// far as that is worked out.
type Growth struct {
	Setup       *job.Setup
	Active      bool
	Done        float64           // 0..1
	Level, Plan *pictures.Printed // nil while it is Active, and with Err
	Err         error

	stop context.CancelFunc
}

// Growth returns the growth of the present setup. The first call for a setup begins
// to work it out; listeners hear when it is known. Nil while the figures of the
// setup aren't known.
func (s *Session) Growth() *Growth {
	if s.preview != nil || !s.Judged() {
		return nil
	}
	if g := s.growth; g != nil && g.Setup == s.Setup() {
		return g
	}
	s.DropGrowth()
	ctx, stop := context.WithCancel(context.Background())
	g := &Growth{Setup: s.Setup(), Active: true, stop: stop}
	s.growth = g
	model := s.facts.Model
	go func() {
		defer stop()
		var printed [2]*pictures.Printed
		var err error
		for i, setup := range []*job.Setup{pictures.LevelLayers(g.Setup), g.Setup} {
			progress := s.paced(func(stage string, done float64) {
				if g.Active && s.growth == g {
					now := Run{Stage: stage, Done: done}
					g.Done = (float64(i) + now.Total()) / float64(len(printed))
					s.changed()
				}
			})
			if printed[i], err = pictures.Print(ctx, setup, model, progress); err != nil {
				break
			}
		}
		if ctx.Err() != nil {
			return
		}
		s.post(func() {
			g.Active, g.Err = false, err
			if err == nil {
				g.Level, g.Plan = printed[0], printed[1]
			}
			if s.growth == g {
				s.changed()
			}
		})
	}()
	return g
}

// DropGrowth ends what works out a growth, and forgets it.
func (s *Session) DropGrowth() {
	if s.growth != nil {
		s.growth.stop()
		s.growth = nil
	}
}

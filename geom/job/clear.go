package job

import (
	"context"
	"io"
	"math"

	"conewright/geom/clearance"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r2"
)

// moveHead moves the head through the corrected motion as it stands on disk.
func (r *run) moveHead(ctx context.Context) (clearance.Report, error) {
	card := r.setup.Machine.Card
	f, err := r.files.Open(CorrectedName)
	if err != nil {
		return clearance.Report{}, err
	}
	defer f.Close()
	span := r.span()
	motion := clearance.Motion{Steps: span.Last - span.First + 1, Each: func(each func(*clearance.Step) error) error {
		if _, err := f.Seek(0, io.SeekStart); err != nil {
			return err
		}
		return readback.Steps(f, card, span, func(s *readback.Step) error {
			if !s.Known {
				return nil
			}
			c := r.clearanceStep(s)
			if !s.Lays() { // a bead's pieces are straight within the tolerance
				return arcs(card, s, &c, each)
			}
			return each(&c)
		})
	}}
	return clearance.Check(ctx, clearance.Options{Head: card.HeadSeen(), Obstacles: card.Obstacles}, motion, r.progress("clearance", 0, 1))
}

// clearanceStep tells the checker what a move does.
func (r *run) clearanceStep(s *readback.Step) clearance.Step {
	c := clearance.Step{From: s.From, To: s.To, Line: s.Line, Zone: s.Zone}
	if s.Lays() && s.Zone >= 0 {
		d := math.Sqrt(sq(s.To.Tip.X-s.From.Tip.X) + sq(s.To.Tip.Y-s.From.Tip.Y) + sq(s.To.Tip.Z-s.From.Tip.Z))
		c.Area = s.E * r.setup.Machine.Card.FilamentArea() / d
		mid := r2.Vec{X: (s.From.Tip.X + s.To.Tip.X) / 2, Y: (s.From.Tip.Y + s.To.Tip.Y) / 2}
		g := r.sources[s.Zone].region
		c.Up = g.Field.Normal(mid)
		c.Thickness = g.Numbers.LayerHeight * c.Up.Z
	}
	return c
}

func sq(v float64) float64 { return v * v }

// findCollisions notes what the head meets, and how near it came to the rest.
func (r *run) findCollisions(rep *clearance.Report) {
	// To what is printed and to obstacles; the bed is near in every first shell.
	least := tidy(rep.Least.Distance)
	r.result.Log.Motion.LeastClearance = &least
	bed := tidy(rep.LeastBed.Distance)
	r.result.Log.Motion.LeastBed = &bed
	r.findBuried(rep)
	for i, c := range rep.Collisions {
		if i == maxListed {
			r.find(Stop, "collision", r.zoneName(c.Zone), c.Line, point(c.At), "%d more collisions", rep.Groups-i)
			break
		}
		r.find(Stop, "collision", r.zoneName(c.Zone), c.DeepLine, point(c.At), "%s", c.Message())
	}
	r.say("clearance: %d moves collide, least distance %.2f mm", rep.Moves, least)
}

func (r *run) zoneName(i int) string {
	if i < 0 || i >= len(r.sources) {
		return ""
	}
	return r.sources[i].region.Name
}

package job

import (
	"context"
	"io"
	"math"

	"conewright/geom/clearance"
	"conewright/geom/machine"
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
	inPart := card.ObstaclesInPart()
	report, err := clearance.Check(ctx, clearance.Options{Head: card.HeadSeen(), Obstacles: obstacles(card, inPart)}, motion, r.progress("clearance", 0, 1))
	if err != nil {
		return report, err
	}
	report.NameObstacles(inPart)
	return report, r.moveBeside(ctx, f, &report)
}

func obstacles(card *machine.Card, indices []int) (boxes []machine.Box) {
	for _, i := range indices {
		boxes = append(boxes, card.Obstacles[i])
	}
	return boxes
}

// moveBeside moves the head among the obstacles that stand still beside a bed that
// turns, as the machine sees both, and what the bed carries into them.
func (r *run) moveBeside(ctx context.Context, f io.ReadSeeker, report *clearance.Report) error {
	card := r.setup.Machine.Card
	sweep := clearance.NewBedSweep(card)
	if sweep == nil {
		return nil
	}
	steps := func(each func(*readback.Step) error) error {
		if _, err := f.Seek(0, io.SeekStart); err != nil {
			return err
		}
		return readback.Steps(f, card, r.span(), func(s *readback.Step) error {
			if !s.Known {
				return nil
			}
			return each(s)
		})
	}
	err := steps(func(s *readback.Step) error {
		sweep.Add(s.Words[0], s.Words[1], s.From.Tip, s.To.Tip, s.Lays() && s.Zone >= 0, s.Line)
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	report.Beside = sweep.Report()
	motion := clearance.Motion{Steps: r.span().Last - r.span().First + 1, Each: func(each func(*clearance.Step) error) error {
		return steps(func(s *readback.Step) error { return besideSteps(card, s, each) })
	}}
	beside := card.ObstaclesBeside()
	head, err := clearance.Check(ctx, clearance.Options{Head: card.HeadSeen(), Obstacles: obstacles(card, beside)}, motion, nil)
	if err != nil {
		return err
	}
	head.NameObstacles(beside)
	report.AddObstacles(&head)
	return nil
}

// besideSteps gives a move as the machine's frame sees it, in pieces that are straight
// there: only a head that leans bends its tip's way.
func besideSteps(card *machine.Card, s *readback.Step, each func(*clearance.Step) error) error {
	a, b := card.MachinePose(s.Words[0]), card.MachinePose(s.Words[1])
	turn := math.Abs(b.Azimuth-a.Azimuth) + math.Abs(b.Lean-a.Lean)
	n := 1.0
	if turn > 0 {
		n = math.Min(math.Max(1, math.Ceil(turn/(2*math.Acos(math.Max(0, 1-arcSag/math.Max(card.Swing(a.Tip), arcSag)))))), mostArcs)
	}
	part := clearance.Step{From: a, Line: s.Line, Zone: s.Zone}
	for i := 1.0; i <= n; i++ {
		part.To = card.MachinePose(between(s, i/n))
		if err := each(&part); err != nil {
			return err
		}
		part.From = part.To
	}
	return nil
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
	for _, b := range rep.Beside {
		r.find(Stop, "collision", "", b.Line, point(b.At), "%s", b.Message())
	}
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

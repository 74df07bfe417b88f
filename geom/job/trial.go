package job

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"conewright/geom/runfolder"
)

// Trial is what a suggested plan's own run says of it.
type Trial struct {
	Against    *Finding // the gravest finding against printing it; nil: none
	Left       []Left   // what the plan leaves, the largest first; not what support holds
	LevelUnder float64  // volume of columns under what level layers leave unsupported, mm3
}

// Left is a place of the part that a plan leaves in the air.
type Left struct {
	At   [3]float64 `json:"at"`       // on the part, bed coordinates
	Area float64    `json:"area_mm2"` // that leans out too far; 0: a shell begins in mid-air there
}

// speaksAgainst lists the warnings that put a plan behind another one that is no worse
// otherwise: its shells don't suit the nozzle.
var speaksAgainst = map[string]bool{"thin-line": true, "off-square": true}

// try runs the suggestion's job whole, in a temporary folder. A plan that can't be run
// has no trial and no estimate. Errors are the context's, or say that a temporary
// file can't be written.
func (g *Suggestion) try(ctx context.Context, s *Setup, m *Model) error {
	dir, err := os.MkdirTemp("", estimatePrefix)
	if err != nil {
		return runfolder.Unwritable(os.TempDir(), err)
	}
	defer os.RemoveAll(dir)
	if g.Setup.Part.Turn != s.Part.Turn {
		m = nil
	}
	ran, err := Run(ctx, g.Setup, Options{Out: dir, Model: m})
	if err != nil && !errors.Is(err, ErrStopped) {
		return ctx.Err()
	}
	log, t := ran.Log, Trial{}
	e := &Estimate{Seconds: log.Motion.Seconds, Filament: log.Motion.Filament, Mass: log.Motion.Mass}
	for i := range log.Zones {
		z := &log.Zones[i]
		e.Support += z.SupportVolume
		t.LevelUnder += z.LevelUnder
		if z.UnheldArea != nil && z.UnheldStarts != nil {
			e.UnheldArea, e.UnheldStarts = e.UnheldArea+*z.UnheldArea, e.UnheldStarts+*z.UnheldStarts
		}
	}
	t.Left = g.left(ran)
	for i := range log.Findings {
		f := &log.Findings[i]
		if t.Against == nil && speaksAgainst[f.Code] || f.Rank == Stop && !t.stopped() {
			t.Against = f
		}
	}
	g.Estimate, g.Trial = e, &t
	return nil
}

// mostLeft bounds the places that are listed of what a plan leaves.
const mostLeft = 5

// left lists what a finished run leaves in the air: starts, then the largest areas that
// lean out. Where support is laid, that is what no support holds.
func (g *Suggestion) left(ran *Result) (list []Left) {
	for _, r := range ran.Regions {
		starts := r.Judged.Starts
		if r.Columns != nil {
			starts = r.Columns.UnheldStarts
		}
		for _, s := range starts {
			list = append(list, Left{At: point(s.At)})
		}
	}
	if g.Setup.Support == SupportNone {
		var areas []Left
		for i := range ran.Log.Zones {
			if b := ran.Log.Zones[i].Bridges; b != nil {
				for _, p := range b.Places {
					areas = append(areas, Left{At: p.At, Area: p.Area})
				}
			}
		}
		slices.SortStableFunc(areas, func(a, b Left) int { return cmp.Compare(b.Area, a.Area) })
		list = append(list, areas...)
	}
	return list[:min(len(list), mostLeft)]
}

// stopped reports that the run wrote no corrected motion.
func (t *Trial) stopped() bool { return t != nil && t.Against != nil && t.Against.Rank == Stop }

// tryOut estimates suggestions and tries them, best first, until one prints: that one
// is moved to the front, and the sentences say why. Where the job allows support and no
// plan carries the part without, the one that needs least support comes first.
// Plans for the part laid on another side keep their places. m is the part as it stands in s.
func tryOut(ctx context.Context, s *Setup, m *Model, found []Suggestion) error {
	var own []*Suggestion
	for i := range found {
		if found[i].Setup.Part.Turn == s.Part.Turn {
			own = append(own, &found[i])
		}
	}
	needs := s.Support != SupportNone && !own[0].Carries()
	if needs {
		for _, g := range own {
			if err := g.estimate(ctx, s, m); err != nil {
				return err
			}
		}
		best := 0
		for i := range own {
			if own[i].needsLess(own[best]) {
				best = i
			}
		}
		toFront(own, best)
	}
	if err := firstThatPrints(ctx, s, m, own); err != nil {
		return err
	}
	for i := range found {
		if found[i].Estimate == nil {
			if err := found[i].estimate(ctx, s, m); err != nil {
				return err
			}
		}
	}
	if needs {
		own[0].tellSupport()
	}
	return nil
}

// firstThatPrints tries plans in their order until one's run finds nothing against it,
// and moves that one to the front.
func firstThatPrints(ctx context.Context, s *Setup, m *Model, own []*Suggestion) error {
	for i, g := range own {
		if first := own[0]; i > 0 && !first.Trial.stopped() && g.leavesMore(first) {
			continue // a doubtful width of lines is better than beads in the air
		}
		if err := g.try(ctx, s, m); err != nil {
			return err
		}
		if g.Trial == nil {
			if i == 0 {
				return nil // its run will say why
			}
			continue
		}
		if a := g.Trial.Against; a != nil {
			g.Plan.Why += fmt.Sprintf(" Its own run says: %s (%s).", strings.TrimSuffix(a.Text, "."), a.Code)
		}
		first := own[0].Trial
		if i > 0 && g.Trial.Against == nil || first.stopped() && !g.Trial.stopped() {
			if i > 0 {
				g.Plan.Why = fmt.Sprintf("First because the run of a plan that looked better finds a fault (%s): %s", first.Against.Code, g.own())
			}
			toFront(own, i)
		}
		if own[0].Trial.Against == nil {
			return nil
		}
	}
	return nil
}

// own returns the plan's sentence as the rest of another one.
func (g *Suggestion) own() string {
	return lowerFirst(strings.TrimPrefix(g.Plan.Why, "For comparison: "))
}

// toFront moves the suggestion at i before the others, whose order stays.
func toFront(own []*Suggestion, i int) {
	moved := *own[i]
	for k := i; k > 0; k-- {
		*own[k] = *own[k-1]
	}
	*own[0] = moved
}

// Carries reports that a plan leaves nothing that support would hold.
func (g *Suggestion) Carries() bool {
	f := &g.Plan.Figures
	return f.MidairStarts == 0 && f.OverhangArea < worthTurning
}

// leavesMore reports that g leaves clearly more to chance than another plan.
func (g *Suggestion) leavesMore(other *Suggestion) bool {
	f, o := &g.Plan.Figures, &other.Plan.Figures
	const share = 0.05 // of what level layers leave
	return f.MidairStarts > o.MidairStarts || f.OverhangArea > o.OverhangArea+share*o.LevelArea+worthTurning
}

// needsLess reports that, with support, g is clearly better than another plan: less stays
// unheld, or as little does with less support.
func (g *Suggestion) needsLess(other *Suggestion) bool {
	e, o := g.Estimate, other.Estimate
	if e == nil || o == nil {
		return e != nil
	}
	const sameArea, sameVolume = 0.01, 0.95 // shares of level layers' overhang, and of a volume
	slack := sameArea*other.Plan.Figures.LevelArea + worthTurning
	switch f, h := &g.Plan.Figures, &other.Plan.Figures; {
	case (f.HeadDepth > 0) != (h.HeadDepth > 0):
		return h.HeadDepth > 0
	case e.UnheldStarts != o.UnheldStarts:
		return e.UnheldStarts < o.UnheldStarts
	case e.UnheldArea < o.UnheldArea-slack:
		return true
	case e.UnheldArea > o.UnheldArea+slack:
		return false
	}
	return e.Support < sameVolume*o.Support
}

// tellSupport adds to the sentence what support does.
func (g *Suggestion) tellSupport() {
	if g.Estimate == nil || g.Trial == nil || g.Estimate.Support == 0 {
		return
	}
	g.Plan.Why = fmt.Sprintf("No plan carries the part alone, so %.0f mm3 of support hold the rest, where columns under what level layers leave would take %.0f mm3: %s",
		g.Estimate.Support, g.Trial.LevelUnder, g.own())
}

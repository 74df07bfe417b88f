package job

import (
	"context"
	"strings"

	"conewright/geom/stance"
)

// mostStances bounds the other sides that suggesting tries to lay on the bed: each
// takes as long as suggesting for the part as it stands.
const mostStances = 3

// otherStance returns the best plan for the part laid on another of its sides, if
// one is better than best, the first for the part as it stands. Nothing is tried
// where best leaves nothing to gain.
func otherStance(ctx context.Context, s *Setup, m *Model, best *Suggestion) (*Suggestion, error) {
	if f := &best.Plan.Figures; f.MidairStarts == 0 && f.OverhangArea < worthTurning && f.Zones == 1 {
		return nil, nil
	}
	var found *Suggestion
	tried := 0
	for _, face := range stance.Faces(m.Mesh) {
		if face.Normal.Z < liesDown || tried == mostStances {
			continue
		}
		tried++
		turned := s.Clone()
		turned.Part.Turn = stance.LayDown(s.Part.Turn, face.Normal)
		other, err := ReadModel(ctx, turned)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			continue // it is too long for the machine in that stance
		}
		plans, err := planned(ctx, turned, other, nil)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			continue
		}
		plans[0].Plan.Why = "Laid on another side: " + lowerFirst(plans[0].Plan.Why)
		if better(&plans[0], best) && (found == nil || better(&plans[0], found)) {
			found = &plans[0]
		}
	}
	return found, nil
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

const (
	// worthTurning is the unsupported area, mm2, that is worth turning the part for.
	worthTurning = 1.0
	// liesDown is the z of the normal of a side that lies on the bed already.
	liesDown = -0.9999
)

// better reports that a leaves less to chance than b: fewer mid-air starts, else
// clearly less unsupported area, else fewer zones.
func better(a, b *Suggestion) bool {
	f, g := &a.Plan.Figures, &b.Plan.Figures
	switch {
	case (f.HeadDepth > 0) != (g.HeadDepth > 0):
		return g.HeadDepth > 0
	case f.MidairStarts != g.MidairStarts:
		return f.MidairStarts < g.MidairStarts
	case f.OverhangArea < g.OverhangArea-worthTurning:
		return true
	case f.OverhangArea > g.OverhangArea+worthTurning:
		return false
	}
	return f.Zones < g.Zones
}

package job

import (
	"context"

	"conewright/geom/field"
	"conewright/geom/overhang"

	"gonum.org/v1/gonum/spatial/r3"
)

// Judgement tells what a region lacks under it.
type Judgement struct {
	Overhang overhang.Unsupported
	Level    float64 // unsupported area in level layers, mm2
	// Volumes of columns from the bed to what is unsupported, mm3: an estimate of
	// solid support.
	Under, LevelUnder float64
	Starts            []overhang.Start
	// Patches part Overhang into bridges and free ends; nil until FindPatches.
	Patches []overhang.Patch
}

// FindPatches fills in Patches for the region that was judged. Judge leaves it
// out, since it takes a few times as long as all else. The error is ctx's.
func (j *Judgement) FindPatches(ctx context.Context, g *Region) (err error) {
	j.Patches, err = j.Overhang.Patches(ctx, g.Mesh, &g.Field, g.Base)
	return err
}

// LevelJudgement tells what a region lacks under it in level layers, whatever
// its field.
type LevelJudgement struct{ Area, Under float64 }

// JudgeLevel judges a region as if it were printed in level layers.
func JudgeLevel(g *Region, limitDeg float64) LevelJudgement {
	level := field.Field{}
	flat := overhang.Find(g.Mesh, &level, limitDeg)
	return LevelJudgement{Area: flat.Area, Under: flat.Under(g.Mesh)}
}

// Judge judges a region that has been warped, beside what JudgeLevel says of it.
// The error is ctx's, which is asked between the steps.
func Judge(ctx context.Context, g *Region, limitDeg float64, level LevelJudgement) (*Judgement, error) {
	over := overhang.Find(g.Mesh, &g.Field, limitDeg)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	j := &Judgement{
		Overhang: over, Level: level.Area,
		Under: over.Under(g.Mesh), LevelUnder: level.Under,
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	j.Starts = overhang.MidairStarts(g.Refined, &g.Field, g.Base, g.Numbers.LayerHeight)
	return j, ctx.Err()
}

// overhangAt returns a place where the region is unsupported.
func (j *Judgement) overhangAt(g *Region) r3.Vec {
	var corners []r3.Vec
	if len(j.Overhang.Facets) > 0 {
		a, b, c := g.Mesh.Corners(int(j.Overhang.Facets[0]))
		corners = []r3.Vec{a, b, c}
	} else if len(j.Overhang.Pieces) > 0 {
		corners = j.Overhang.Pieces[0].Corners
	}
	var sum r3.Vec
	for _, p := range corners {
		sum = r3.Add(sum, p)
	}
	if len(corners) == 0 {
		return sum
	}
	return r3.Scale(1/float64(len(corners)), sum)
}

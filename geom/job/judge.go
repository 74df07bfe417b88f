package job

import (
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
// out, since it takes a few times as long as all else.
func (j *Judgement) FindPatches(g *Region) {
	j.Patches = j.Overhang.Patches(g.Mesh, &g.Field, g.Base)
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
func Judge(g *Region, limitDeg float64, level LevelJudgement) *Judgement {
	over := overhang.Find(g.Mesh, &g.Field, limitDeg)
	return &Judgement{
		Overhang: over, Level: level.Area,
		Under: over.Under(g.Mesh), LevelUnder: level.Under,
		Starts: overhang.MidairStarts(g.Refined, &g.Field, g.Base, g.Numbers.LayerHeight),
	}
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

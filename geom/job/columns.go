package job

import (
	"context"

	"conewright/geom/inputerror"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/support"
	"conewright/geom/warp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// hold plans support of last resort for every zone, where the job asks for it. A
// column crosses the zones between its top and its foot, and each of them lays its
// own share: so a zone also gets the columns under what later zones of its part hold.
func (r *run) hold(ctx context.Context) error {
	if r.setup.Support == SupportNone {
		return nil
	}
	all := r.result.Regions
	var later [][]r3.Vec
	for i := len(all) - 1; i >= 0; i-- {
		g := all[i]
		if g.Judged == nil { // an estimate judges nothing else
			var err error
			if g.Judged, err = Judge(ctx, g, r.setup.Overhang, LevelJudgement{}); err != nil {
				return err
			}
		}
		if i+1 < len(all) && all[i+1].Part != g.Part {
			later = nil
		}
		places := support.Places{Pieces: g.Judged.pieces(g), Later: later, Starts: g.Judged.Starts, OnlyStarts: r.setup.Support == SupportStarts}
		if err := r.holdZone(ctx, g, &places); err != nil {
			return err
		}
		if !places.OnlyStarts {
			later = append(later, places.Pieces...)
		}
		later = append(later, g.Columns.Newborn...)
	}
	return nil
}

// holdZone plans the columns in a zone's shells.
func (r *run) holdZone(ctx context.Context, g *Region, places *support.Places) error {
	solid, err := r.liftedPart(ctx, g)
	if err != nil {
		return err
	}
	t := r.setup.Machine.Card.PartTravel()
	g.Columns, err = support.Hold(ctx, &support.Shells{
		Solid: solid, Field: &g.Field, Drop: g.Drop, Height: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth,
		Bed: r2.Box{Min: r2.Vec{X: t.X[0], Y: t.Y[0]}, Max: r2.Vec{X: t.X[1], Y: t.Y[1]}},
	}, places)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return inputerror.Caused(message.New("zone %s", g.Name), "use support: none", "%s", err)
	}
	g.stands = r.setup.share(g, r.result.Regions)
	return nil
}

// liftedPart returns all that is printed, lifted like the region's warped mesh.
func (r *run) liftedPart(ctx context.Context, g *Region) (*mesh.Mesh, error) {
	if len(r.result.Regions) == 1 {
		return g.Warped, nil
	}
	refined, err := warp.Refine(ctx, r.result.Model.Mesh, &g.Field, r.setup.Tolerance)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, inputerror.Caused(message.New("zone %s", g.Name), "use a larger tolerance, or a part with fewer facets", "%s", err)
	}
	lifted, drop := warp.Lift(refined, &g.Field)
	for i := range lifted.Vertices {
		lifted.Vertices[i].Z += drop - g.Drop
	}
	return lifted, nil
}

// pieces returns what is unsupported as convex pieces.
func (j *Judgement) pieces(g *Region) (list [][]r3.Vec) {
	for _, i := range j.Overhang.Facets {
		a, b, c := g.Mesh.Corners(int(i))
		list = append(list, []r3.Vec{a, b, c})
	}
	for i := range j.Overhang.Pieces {
		list = append(list, j.Overhang.Pieces[i].Corners)
	}
	return list
}

// share returns which places of the room a zone's shells fill with support: over the
// bed, on its own side of every cut, and a shell short of the next zone, whose
// nozzle must not plough what stands there.
func (s *Setup) share(g *Region, regions []*Region) func(p r2.Vec, z float64) bool {
	root := s.zonesOf(g)
	f, drop, h := &g.Field, g.Drop, g.Numbers.LayerHeight
	return func(p r2.Vec, planar float64) bool {
		at := r3.Vec{X: p.X, Y: p.Y, Z: planar + drop - f.At(p)}
		if at.Z <= 0 {
			return false
		}
		over := at
		over.Z += h
		return root.holding(at, regions) == g.Name && root.holding(over, regions) == g.Name
	}
}

// zonesOf returns the tree that a region is a leaf of.
func (s *Setup) zonesOf(g *Region) *Zone {
	for i := range s.Parts {
		if s.Parts[i].Name == g.Part {
			return s.Parts[i].Zones
		}
	}
	return s.Zones
}

// holding returns the name of the zone on whose side of all cuts a place lies. A cut
// that takes one piece alone has its over side above or below that piece only.
func (z *Zone) holding(p r3.Vec, regions []*Region) string {
	for z.Cut != nil {
		plane := z.Cut.Plane()
		over := r3.Dot(r3.Sub(p, plane.Point), plane.Normal) > 0
		if over && z.Cut.Only != nil {
			over = z.Over.reaches(p, regions)
		}
		if over {
			z = z.Over
		} else {
			z = z.Under
		}
	}
	return z.Name
}

// reaches reports that a place lies over, under or near to one of the zone's leaves.
func (z *Zone) reaches(p r3.Vec, regions []*Region) bool {
	const margin = 2.0 // mm: columns reach that far beyond what they hold
	for _, leaf := range z.Leaves() {
		for _, g := range regions {
			if g.Name != leaf.Name {
				continue
			}
			b := g.Mesh.Bounds()
			if p.X > b.Min.X-margin && p.X < b.Max.X+margin && p.Y > b.Min.Y-margin && p.Y < b.Max.Y+margin {
				return true
			}
		}
	}
	return false
}

// findColumns notes what support was laid in a zone, and where.
func (r *run) findColumns(g *Region, z *ZoneLog) {
	if g.Columns == nil || z.SupportVolume == 0 {
		return
	}
	at := g.highestColumn()
	r.find(Note, "support", g.Name, 0, point(at), "%.0f mm3 of support stand under the part, the highest column ends at x %.1f y %.1f z %.1f: break it off when the part has cooled, in eye protection", z.SupportVolume, at.X, at.Y, at.Z)
}

// highestColumn returns a place on top of the column that ends in the highest of the
// zone's shells.
func (r *Region) highestColumn() r3.Vec {
	h := r.Numbers.LayerHeight
	for k := len(r.Columns.Layers) - 1; k >= 0; k-- {
		l := &r.Columns.Layers[k]
		middle := (float64(l.Index) + 0.5) * h
		for _, contour := range l.Centre {
			for _, q := range contour {
				if r.stands(q, middle) {
					return r3.Vec{X: q.X, Y: q.Y, Z: middle + h/2 + r.Drop - r.Field.At(q)}
				}
			}
		}
	}
	return r3.Vec{}
}

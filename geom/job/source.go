package job

import (
	"context"
	"io"
	"math"

	"conewright/geom/brought"
	"conewright/geom/field"
	"conewright/geom/inputerror"
	"conewright/geom/message"
	"conewright/geom/planner"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// plan plans a region's planar motion and writes it where it waits. It is then
// read from there like any brought motion: the file is what counts.
func (r *run) plan(ctx context.Context, g *Region, progress func(float64)) error {
	if g == r.result.Regions[0] {
		if err := r.planSkirt(ctx); err != nil {
			return err
		}
	}
	planned, err := planner.Plan(ctx, g.Warped, r.setup.PlannerOptions(g), progress)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return inputerror.Caused(message.New("zone %s", g.Name), "use other numbers for shell, bead or planner", "%s", err)
	}
	if err := r.files.Write(planarName(g.Name), planned.Write); err != nil {
		return err
	}
	r.sources = append(r.sources, source{region: g})
	return nil
}

// source is the planar motion of one zone, or of the skirt, where it waits.
type source struct {
	region  *Region
	brought *brought.File // nil: planned here, all of it is the part's
	skirt   bool          // region is no zone of the job
}

// zone returns what bringing the source's motion back needs, ready for one pass
// over it.
func (s *source) zone() *unwarp.Zone {
	if s.brought == nil {
		return s.region.unwarpZone(nil)
	}
	fit := *s.brought.Fit // it keeps its place while streaming
	return s.region.unwarpZone(fit.OnPart)
}

// readback returns the source for the proof.
func (r *run) readback(s *source) readback.Source {
	return readback.Source{
		Zone: s.zone(),
		Open: func() (io.ReadCloser, error) { return r.open(s.region) },
		Read: r.readOptions(),
	}
}

// heightOver returns how high the real place of a point of the region's warped
// mesh stands over the bed or the base, mm.
func (r *Region) heightOver() func(p r2.Vec, z float64) float64 {
	return func(p r2.Vec, z float64) float64 {
		z += r.Drop - r.Field.At(p)
		if r.Base == nil {
			return z
		}
		base, _, _ := r.Base.Height(p.X, p.Y, z+r.Numbers.LayerHeight)
		return z - base
	}
}

// PlannerOptions returns what the built-in planner is told for a region.
func (s *Setup) PlannerOptions(g *Region) planner.Options {
	p, card := &s.Planner, s.Machine.Card
	o := planner.Options{
		LayerHeight: g.Numbers.LayerHeight, BeadArea: g.Numbers.BeadArea,
		Pitch: g.Numbers.Pitch, LineWidth: g.Numbers.LineWidth, Filament: card.Filament,
		Walls: p.Walls, Caps: p.Caps, Fill: p.Fill, Pattern: p.FillPattern,
		Inward: g.Field.Curvature() == field.Concave,
		Speed:  p.Speed, TravelSpeed: p.TravelSpeed, Retract: card.Retract,
		OutsideIn: p.WallOrder == OutsideIn, Seam: p.Seam, SeamAzimuth: p.SeamToward * math.Pi / 180, Wipe: p.Wipe,
		SlowLayers: p.SlowShells, SlowSpeed: p.SlowFactor * p.Speed, LeastSeconds: p.LeastSeconds,
	}
	o.Lift, o.Height, o.Tilt = &g.Field, g.heightOver(), card.Head.Tilt*math.Pi/180
	if card.Leans() {
		o.Tilt = card.TiltOn(math.Atan(g.Field.Slope()))
	}
	o.Rim = card.RimRadius()
	if g.Columns != nil {
		o.Support, o.Stands = g.Columns.Layers, g.stands
	}
	axis, ok := g.Field.Axis()
	if o.Axis = axis; !ok { // rings and order about the middle of the zone
		box := g.Mesh.Bounds()
		o.Axis.X, o.Axis.Y = (box.Min.X+box.Max.X)/2, (box.Min.Y+box.Max.Y)/2
	}
	return o
}

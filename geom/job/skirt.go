package job

import (
	"context"
	"fmt"
	"math"

	"conewright/geom/field"
	"conewright/geom/inputerror"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/planner"
	"conewright/geom/section"

	"gonum.org/v1/gonum/spatial/r2"
)

// planSkirt lays the rings that the job wants on the bed round the part, before
// a first zone that is planned here. They are a source of their own: level, on
// the bed, in no zone's figures.
func (r *run) planSkirt(ctx context.Context) error {
	p := &r.setup.Planner
	if p.Skirt == 0 {
		return nil
	}
	spec := &Field{Kind: KindLevel}
	g := &Region{Name: r.skirtName(), Spec: spec, Numbers: r.setup.Numbers(spec), Mesh: r.result.Model.Mesh}
	footprint, err := r.setup.footprint(ctx, r.result.Model)
	if err != nil {
		return err
	}
	o := r.setup.PlannerOptions(g)
	o.Axis = footprint.Centre()
	g.Field = field.NewCone(skirtLean, false, o.Axis, 0)
	distance := max(p.SkirtDistance, r.setup.clearOfHead())
	o.SlowLayers = max(1, o.SlowLayers)
	planned, err := planner.Skirt(footprint, p.Skirt, distance, o)
	if err != nil {
		return inputerror.Caused(message.Name("planner.skirt"), "leave the skirt out", "%s", err)
	}
	if err := r.setup.holdsSkirt(planned, distance); err != nil {
		return err
	}
	r.sources = append(r.sources, source{region: g, skirt: true})
	r.result.Log.Skirt = &SkirtLog{Name: g.Name, Rings: p.Skirt, Distance: tidy(distance)}
	r.say("skirt: %d rings, %.1f mm from the part", p.Skirt, distance)
	return r.files.Write(planarName(g.Name), planned.Write)
}

// skirtName is a name that no zone has.
func (r *run) skirtName() string {
	name := "skirt"
	for i, n := 2, 0; n < len(r.result.Regions); n++ {
		if r.result.Regions[n].Name == name {
			name = fmt.Sprintf("skirt-%d", i)
			i, n = i+1, -1
		}
	}
	return name
}

// firstZone is the index of the first zone's source: what comes before is the
// skirt.
func (r *run) firstZone() int {
	if len(r.sources) > 0 && r.sources[0].skirt {
		return 1
	}
	return 0
}

// logSkirt fills in what the skirt came to and returns its filament, mm.
func (r *run) logSkirt() float64 {
	if r.firstZone() == 0 {
		return 0
	}
	l, s := r.result.Log.Skirt, &r.stats.Zones[0]
	l.PlanarFilament, l.ContactFilament = tidy(s.PlanarFilament), tidy(s.ContactFilament)
	l.Seconds = tidy(r.report.ZoneSeconds[0])
	return s.ContactFilament
}

const (
	// skirtLean is the angle, radians, of the cone that a skirt is laid on: level
	// to a thousandth of a mm on any bed, but it tells a swivelling head to lean
	// outward, over what isn't laid yet.
	skirtLean = 1e-7
	// skirtMargin is what the head keeps from a skirt, mm: half a bead's
	// squashing and a warped bed's unevenness (common practice, no source).
	skirtMargin = 0.3
	// footprintStep is how far apart the part is cut for its footprint, mm: less
	// than what a part leans out by within it matters here.
	footprintStep = 0.25
)

// skirtTop is the height of the skirt's top, mm: where the bed rule lets its
// beads be laid.
func (s *Setup) skirtTop() float64 { return max(s.Shell, s.lowestTip()) }

// lowestTip is the least height of the tip over the bed by the bed rule.
func (s *Setup) lowestTip() float64 {
	return max(s.Shell/2, s.Machine.Card.RimRadius()*math.Sin(s.Machine.Card.TiltOn(0)))
}

// footprint is all of the part, in plan, at heights where the head could reach
// down to a skirt.
func (s *Setup) footprint(ctx context.Context, m *Model) (planner.Region, error) {
	top := min(s.skirtTop()+skirtMargin-lowest(s.Machine.Card), m.Size.Z)
	var heights []float64
	for z := min(s.Shell, m.Size.Z) / 2; z < top; z += footprintStep {
		heights = append(heights, z)
	}
	sections, err := section.Sections(ctx, m.Mesh, heights)
	if err != nil {
		return nil, err
	}
	var all planner.Region
	for _, c := range sections {
		all = append(all, c.Contours...)
	}
	return all, nil
}

// clearOfHead is how far from the part a skirt must lie, mm, so that the head
// clears it by skirtMargin whichever way it leans while the tip is at its
// lowest.
func (s *Setup) clearOfHead() float64 {
	under := s.skirtTop() + skirtMargin - s.lowestTip() // the head's points below this meet it
	far := 0.0
	headPoints(s.Machine.Card, func(out, z float64) {
		if z < under {
			far = max(far, out)
		}
	})
	return far + s.Bead/2
}

// lowest is how far the head reaches below its tip, mm, 0 or negative.
func lowest(card *machine.Card) float64 {
	least := 0.0
	headPoints(card, func(_, z float64) { least = min(least, z) })
	return least
}

// headPoints tells of many points of the head's surface how far out from the
// tip and how high over it they lie, mm: of the profile's frustums at steps along
// and round the nozzle axis, of boxes their corners, each also at the box's own
// foot.
func headPoints(card *machine.Card, each func(out, z float64)) {
	const along, round = 64, 24
	axis := card.NozzleAxis(0)
	p := card.Head.Profile
	for i := 1; i < len(p); i++ {
		for k := range along + 1 {
			t := float64(k) / along
			a, radius := p[i-1][0]+t*(p[i][0]-p[i-1][0]), p[i-1][1]+t*(p[i][1]-p[i-1][1])
			for n := range round {
				sin, cos := math.Sincos(math.Pi * float64(n) / (round - 1))
				// The circle's own axes: down the lean, and level beside it.
				out := r2.Vec{X: a*axis.X + radius*cos*axis.Z, Y: radius * sin}
				each(r2.Norm(out), a*axis.Z-radius*cos*axis.X)
			}
		}
	}
	for _, b := range card.Head.Boxes {
		for _, x := range [2]float64{b.Min[0], b.Max[0]} {
			for _, y := range [2]float64{b.Min[1], b.Max[1]} {
				each(math.Hypot(x, y), b.Min[2])
			}
		}
	}
}

// holdsSkirt refuses a skirt that the machine can't reach.
func (s *Setup) holdsSkirt(m *planner.Motion, distance float64) error {
	t := s.Machine.Card.PartTravel()
	for i := range m.Layers[0].Beads {
		for _, p := range m.Layers[0].Beads[i].Path {
			if p.X < t.X[0] || p.X > t.X[1] || p.Y < t.Y[0] || p.Y > t.Y[1] {
				return wrong("planner.skirt", "seat the part nearer to the middle of the bed, or lay fewer rings or none",
					"a skirt %.1f mm from the part would reach x %.1f y %.1f, which the machine doesn't", distance, p.X, p.Y)
			}
		}
	}
	return nil
}

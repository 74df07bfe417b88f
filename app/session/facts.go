package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"conewright/app/pictures"
	"conewright/geom/job"

	"gonum.org/v1/gonum/spatial/r3"
)

// Facts are what follows from a setup without a run. They come in two steps:
// first what is needed to draw, then, Judged, the figures that take longer.
type Facts struct {
	Setup   *job.Setup
	Err     error // why the rest is missing; nil: nothing is
	Model   *job.Model
	Part    *PartFacts    // of all parts; nil: one can't be read
	Parts   []*PartFacts  // of each part
	Overlap error         // parts stand in one another; it is Err too
	Regions []*job.Region // nil: it can't be cut into zones
	Judged  bool          // regions are warped and judged
	Zones   []ZoneFacts   // of judged regions
	Shells  int           // of all zones together; 0: not known
	Places  []Place       // where an axis is likely to belong; nil: not known
	// Overhang is the unsupported surface as triangles, once for all drawings;
	// Bridged what of it is bridged, where that is told apart.
	Overhang, Bridged [][3]r3.Vec
}

// PartFacts are the part's figures.
type PartFacts struct {
	Triangles int
	Size      [3]float64 // mm
	Volume    float64    // mm3
	Closed    bool       // once mended
	OpenEdges int        // left after mending
	Bodies    int
	Mended    int // how many things were mended
}

// ZoneFacts are a zone's figures.
type ZoneFacts struct {
	Name                    string
	Overhang, LevelOverhang float64 // mm2
	MidAirStarts            int
	WarpedFacets            int
}

// Facts returns the newest facts, nil for none yet. They may be of an older
// setup: compare Setup.
func (s *Session) Facts() *Facts { return s.facts }

// cache keeps what the last facts were made of. Only the worker touches it.
type cache struct {
	modelKey string
	model    *job.Model
	overlap  error // parts stand in one another
	part     *PartFacts
	parts    []*PartFacts
	places   []Place
	cutsKey  string
	regions  []*job.Region        // as cut, with the fields of then
	levels   []job.LevelJudgement // of the regions, by limit
	limit    float64
	large    bool // judging was given up in the drag under way
}

// factRequest is what facts are asked of.
type factRequest struct {
	setup   *job.Setup
	opened  int
	dragged bool // more will follow soon
}

// factPatience lets figures follow a drag on a part of usual size, and gives
// them up on a large one until the drag rests.
const factPatience = 150 * time.Millisecond

// factRest leaves most of the processors to the drawing while a drag lasts.
const factRest = 16

// findFacts is the worker: off the event loop, one at a time.
func (s *Session) findFacts(ctx context.Context, r factRequest) {
	f := &Facts{Setup: r.setup}
	was := s.cache.regions
	f.Err = s.cache.read(ctx, f)
	if f.Err == nil {
		f.Err = s.cache.divide(ctx, f)
	}
	// Where only a field changed, the drawing needs nothing new before the figures.
	if f.Err != nil || len(was) == 0 || &was[0] != &s.cache.regions[0] {
		s.publish(ctx, f, r.opened)
	}
	if ctx.Err() != nil || f.Err != nil {
		return
	}
	s.cache.large = s.cache.large && r.dragged
	if s.cache.large {
		return // it would be given up again, and frames be late for it
	}
	judged := *f
	if s.cache.places == nil {
		s.cache.places, judged.Err = places(ctx, f.Model.Mesh)
	}
	judged.Places = s.cache.places
	if judged.Err == nil {
		judged.Err = s.cache.judge(ctx, &judged)
	}
	s.cache.large = r.dragged && ctx.Err() != nil
	s.publish(ctx, &judged, r.opened)
	if !r.dragged && ctx.Err() == nil && judged.Err == nil && len(judged.Overhang) > 0 {
		s.publish(ctx, withBridges(ctx, &judged), r.opened)
	}
}

// mostForBridges is up to how many pieces of unsupported surface bridges are told
// apart for the drawing: a run tells them of any.
const mostForBridges = 20_000

// withBridges returns facts in which bridges are told from free ends; f itself
// where ctx ends before that.
func withBridges(ctx context.Context, f *Facts) *Facts {
	if len(f.Overhang) > mostForBridges {
		return f
	}
	g := *f
	g.Regions = make([]*job.Region, len(f.Regions))
	for i, r := range f.Regions {
		region, judged := *r, *r.Judged // what was published stays as it is
		if judged.FindPatches(ctx, &region) != nil {
			return f
		}
		region.Judged, g.Regions[i] = &judged, &region
	}
	g.Overhang, g.Bridged = pictures.Overhang(g.Regions)
	return &g
}

// publish hands facts to the event loop, unless they were given up. They may be
// of an older setup by then, but never of another part.
func (s *Session) publish(ctx context.Context, f *Facts, opened int) {
	if ctx.Err() != nil || errors.Is(f.Err, context.Canceled) {
		return
	}
	s.post(func() {
		if s.opened != opened {
			return
		}
		s.facts = f
		s.askEstimate(f)
		s.changed()
	})
}

// read reads and places the part, unless nothing that it depends on changed.
func (c *cache) read(ctx context.Context, f *Facts) error {
	key := modelKey(f.Setup)
	if key == "" || key != c.modelKey {
		*c = cache{}
		model, err := job.ReadModel(ctx, f.Setup)
		if several := len(f.Setup.Parts) > 0; err != nil && !(several && model != nil) {
			return err
		}
		c.modelKey, c.model, c.overlap, c.part = key, model, err, partFacts(model)
		c.parts = []*PartFacts{c.part}
		if parts := model.Parts(); len(parts) > 1 {
			c.parts = nil
			for _, one := range parts {
				c.parts = append(c.parts, partFacts(one))
			}
		}
	}
	f.Model, f.Part, f.Parts, f.Overlap = c.model, c.part, c.parts, c.overlap
	return c.overlap // the parts are shown all the same
}

// modelKey tells apart what the placed part depends on: the file as it lies on
// disk and how it stands. "" where the file can't be looked at.
func modelKey(s *job.Setup) string {
	var key strings.Builder
	for _, one := range s.Single() {
		info, err := os.Stat(one.PartPath())
		if err != nil {
			return ""
		}
		fmt.Fprint(&key, one.PartPath(), info.Size(), info.ModTime().UnixNano(), one.Part.Unit, one.Part.Turn, *one.Part.Seat, one.Machine.Card.Travel, ";")
	}
	return key.String()
}

func partFacts(m *job.Model) *PartFacts {
	left := m.Mesh.Check()
	d := m.Mended
	return &PartFacts{
		Triangles: len(m.Mesh.Facets),
		Size:      [3]float64{m.Size.X, m.Size.Y, m.Size.Z},
		Volume:    m.Mesh.Volume(),
		Closed:    left.OpenEdges == 0 && left.NonManifoldEdges == 0,
		OpenEdges: left.OpenEdges + left.NonManifoldEdges,
		Bodies:    left.Bodies,
		Mended:    d.Welded + d.Degenerate + d.Doubled + d.Turned + d.Holes,
	}
}

// divide cuts the part into zones, or takes the pieces of last time with the
// fields of now where no cut changed.
func (c *cache) divide(ctx context.Context, f *Facts) error {
	key := cutsKey(f.Setup)
	if c.regions == nil || key != c.cutsKey {
		regions, err := job.Divide(ctx, f.Setup, c.model)
		if err != nil {
			return err
		}
		c.cutsKey, c.regions, c.levels = key, regions, nil
	}
	leaves := f.Setup.Leaves()
	f.Regions = make([]*job.Region, len(leaves))
	for i, leaf := range leaves {
		was := c.regions[i]
		f.Regions[i] = &job.Region{
			Name: leaf.Name, Spec: leaf.Field, Field: leaf.Field.Lift(), Numbers: f.Setup.Numbers(leaf.Field),
			Mesh: was.Mesh, Base: was.Base,
		}
	}
	return nil
}

// cutsKey tells trees of cuts apart, whatever the names and fields.
func cutsKey(s *job.Setup) string {
	var walk func(z *job.Zone) any
	walk = func(z *job.Zone) any {
		if z.Cut == nil {
			return nil
		}
		return []any{z.Cut, walk(z.Under), walk(z.Over)}
	}
	var all []any
	for _, one := range s.Single() {
		all = append(all, walk(one.Zones))
	}
	data, err := json.Marshal(all)
	if err != nil {
		return "" // finite numbers always marshal
	}
	return string(data)
}

// judge warps and judges copies of the regions: those of the first step are
// being drawn.
func (c *cache) judge(ctx context.Context, f *Facts) error {
	if c.levels == nil || c.limit != f.Setup.Overhang {
		c.limit, c.levels = f.Setup.Overhang, nil
		var levels []job.LevelJudgement
		for _, r := range f.Regions {
			if err := ctx.Err(); err != nil {
				return err // nothing half is kept
			}
			levels = append(levels, job.JudgeLevel(r, c.limit))
		}
		c.levels = levels
	}
	regions := make([]*job.Region, len(f.Regions))
	for i, r := range f.Regions {
		g := *r
		if err := g.Warp(ctx, f.Setup.Tolerance); err != nil {
			return err
		}
		j, err := job.Judge(ctx, &g, c.limit, c.levels[i])
		if err != nil {
			return err
		}
		g.Judged = j
		regions[i] = &g
		f.Zones = append(f.Zones, ZoneFacts{Name: g.Name, Overhang: j.Overhang.Area, LevelOverhang: j.Level,
			MidAirStarts: len(j.Starts), WarpedFacets: len(g.Warped.Facets)})
		f.Shells += layers(&g)
	}
	f.Regions, f.Judged = regions, true
	f.Overhang, f.Bridged = pictures.Overhang(regions)
	return nil
}

// layers returns how many planar layers a warped zone has.
func layers(g *job.Region) int {
	n := g.WarpedHeight() / g.Numbers.LayerHeight
	return max(1, int(n+0.5))
}

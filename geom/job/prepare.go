package job

import (
	"context"
	"errors"
	"fmt"
	"math"

	"conewright/geom/field"
	"conewright/geom/inputerror"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/support"
	"conewright/geom/unwarp"
	"conewright/geom/warp"
	"conewright/geom/zone"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Model is the part as it was read, mended, turned and seated.
type Model struct {
	Mesh    *mesh.Mesh
	Health  mesh.Health  // as the file has it
	Mended  mesh.Mending // what mending did
	Remarks mesh.Remarks // what reading noticed
	Size    r3.Vec
	Source  FileLog // the file that was read; of several parts the first one's

	parts []*Model // of several parts, each alone
}

// ReadModel reads the setup's part. Errors are *InputError.
func ReadModel(ctx context.Context, s *Setup) (*Model, error) {
	if len(s.Parts) > 0 {
		return readParts(ctx, s)
	}
	raw, remarks, source, err := s.readPart(ctx)
	if err != nil {
		return nil, err
	}
	m, err := s.Place(raw)
	if m != nil {
		m.Remarks, m.Source = remarks, source
	}
	return m, err
}

// readPart reads the part's file and names the contents that were read: they are
// the same before and after reading.
func (s *Setup) readPart(ctx context.Context) (*mesh.Mesh, mesh.Remarks, FileLog, error) {
	const tries = 3
	var before, after FileLog
	for range tries {
		// A file that can't be read, or isn't one, is the reader's to tell.
		before, _ = sumOf(s.PartPath(), s.Part.File)
		raw, remarks, err := mesh.ReadFile(ctx, s.PartPath(), mesh.ReadOptions{Unit: unitMM[s.Part.Unit]})
		switch {
		case ctx.Err() != nil:
			return nil, remarks, before, ctx.Err()
		case err != nil:
			return nil, remarks, before, partError(err)
		}
		if after, err = sumOf(s.PartPath(), s.Part.File); err == nil && after == before {
			return raw, remarks, after, nil
		}
	}
	return nil, mesh.Remarks{}, before, wrong(s.Part.File, "wait until it is written", "the file changes while it is read")
}

// Place mends a part that was read, turns it and seats it on the bed.
func (s *Setup) Place(raw *mesh.Mesh) (*Model, error) {
	m := &Model{Health: raw.Check()}
	m.Mesh, m.Mended = raw.Mend()
	if len(m.Mesh.Facets) == 0 {
		return nil, wrong(s.Part.File, "export the part again", "no facet is left of the part once doubled and empty ones are dropped")
	}
	if m.Mesh.Volume() < leastVolume {
		return nil, wrong(s.Part.File, "export it as a solid, closed and not too small (is the unit right?)", "the part encloses %.3g mm3", m.Mesh.Volume())
	}
	m.Mesh = m.Mesh.Turn(s.Part.Turn).Seat(s.Part.Seat[0], s.Part.Seat[1])
	box := m.Mesh.Bounds()
	m.Size = r3.Sub(box.Max, box.Min)
	return m, s.fits(m)
}

// leastVolume, mm3, is less than a bead a few millimetres long.
const leastVolume = 0.05

func partError(err error) error {
	var r *mesh.ReadError
	if errors.As(err, &r) {
		return &InputError{Where: message.Join(": ", message.Name(r.File), r.Where), What: r.What, Mend: r.Mend, Err: err}
	}
	return inputerror.Caused(message.Text{}, "check the part's file", "%s", err)
}

// fits refuses a part so much larger than the machine that its unit must be
// wrong. What only reaches over the machine's travel is found when its motion
// is (travel-limit). Too high by more is let pass than too wide: a low travel is
// often a card's fault, and such a part is soon planned.
func (s *Setup) fits(m *Model) error {
	t := s.Machine.Card.PartTravel()
	for _, a := range []struct {
		name       string
		size, most float64
		within     [2]float64
	}{{"x", m.Size.X, 1.5, t.X}, {"y", m.Size.Y, 1.5, t.Y}, {"z", m.Size.Z, 3, t.Z}} {
		if room := a.within[1] - a.within[0]; a.size > a.most*room {
			return wrong(s.Part.File, "check its unit, or scale the part",
				"the part is %.1f mm long in %s, the machine travels %.1f mm", a.size, a.name, room)
		}
	}
	return nil
}

// Region is a zone with all that follows from its field: what the planner or
// the user's slicer gets, and what bringing motion back needs.
type Region struct {
	Name     string
	Part     string // of several parts: which one's
	Spec     *Field // as in the job
	Field    field.Field
	Numbers  Numbers
	Mesh     *mesh.Mesh // the zone, in place on the bed
	Refined  *mesh.Mesh // the same, refined for the warp but not lifted
	Warped   *mesh.Mesh // refined, lifted, seated at z = 0
	Drop     float64
	Base     *zone.Base
	Offset   r3.Vec // register of a brought motion
	FitError float64
	Judged   *Judgement
	Columns  *support.Columns               // support of last resort; nil: none
	stands   func(p r2.Vec, z float64) bool // where it may stand; see columns.go
}

// warped divides a setup's part into its zones and warps each. Errors are Divide's
// and Warp's.
func warped(ctx context.Context, s *Setup, m *Model) ([]*Region, error) {
	regions, err := Divide(ctx, s, m)
	if err != nil {
		return nil, err
	}
	for _, g := range regions {
		if err := g.Warp(ctx, s.Tolerance); err != nil {
			return nil, err
		}
	}
	return regions, nil
}

// Divide cuts the part into its zones. Errors are *InputError, or the
// context's.
func Divide(ctx context.Context, s *Setup, m *Model) ([]*Region, error) {
	if len(s.Parts) > 0 {
		return divideParts(ctx, s, m)
	}
	leaves, err := zone.Split(ctx, m.Mesh, s.Zones.tree())
	var miss *zone.MissError
	switch {
	case errors.As(err, &miss):
		return nil, inputerror.Caused(message.Name("zones"), "move the cut into the part", "%s", err)
	case err != nil && ctx.Err() == nil:
		return nil, inputerror.Caused(message.Name("zones"), "move or turn the cut a little", "%s", err)
	case err != nil:
		return nil, err
	}
	specs := s.Zones.Leaves()
	regions := make([]*Region, len(leaves))
	for i, leaf := range leaves {
		regions[i] = &Region{
			Name: leaf.Name, Spec: specs[i].Field, Field: specs[i].Field.Lift(),
			Numbers: s.Numbers(specs[i].Field), Mesh: leaf.Mesh, Base: zone.NewBase(leaf.Mesh),
		}
	}
	return regions, nil
}

// Warp fills in the region's refined and warped meshes.
func (r *Region) Warp(ctx context.Context, tolerance float64) error {
	refined, err := warp.Refine(ctx, r.Mesh, &r.Field, tolerance)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return inputerror.Caused(message.New("zone %s", r.Name), "use a larger tolerance, or a part with fewer facets", "%s", err)
	}
	r.Refined = refined
	lifted, drop := warp.Lift(refined, &r.Field)
	r.Warped, r.Drop = lifted.Rounded(), drop // as the file will hold it
	return nil
}

// unwarpZone returns what bringing the region's motion back needs.
func (r *Region) unwarpZone(keep func(*motion.Event) bool) *unwarp.Zone {
	return &unwarp.Zone{
		Name: r.Name, Field: r.Field, Drop: r.Drop, Offset: r.Offset,
		LayerHeight: r.Numbers.LayerHeight, Base: r.Base, Keep: keep,
	}
}

// WarpedHeight returns how high the warped mesh stands, mm.
func (r *Region) WarpedHeight() float64 {
	if r.Warped == nil {
		return math.NaN()
	}
	box := r.Warped.Bounds()
	return box.Max.Z - box.Min.Z
}

func (s *Setup) String() string {
	return fmt.Sprintf("job for %s on %s", s.Part.File, s.Machine.Card.Name)
}

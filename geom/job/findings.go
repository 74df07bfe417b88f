package job

import (
	"cmp"
	"context"
	"math"
	"slices"

	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/runlog"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r3"
)

// find adds a finding.
func (r *run) find(rank, code, zone string, line int, at [3]float64, text string, args ...any) {
	r.result.Log.Findings.Add(rank, code, zone, line, at, text, args...)
}

// findMark adds a finding for something that happened Count times.
func (r *run) findMark(rank, code string, m unwarp.Mark, text string, args ...any) {
	if m.Count > 0 {
		r.find(rank, code, "", m.Line, point(m.At), text, append([]any{m.Count}, args...)...)
	}
}

// findPart notes what was mended of the mesh, and what can't be.
func (r *run) findPart(m *Model) {
	left := m.Mesh.Check()
	if !left.Sound() {
		r.find(Warn, "mesh", "", 0, [3]float64{}, "the part's mesh can't be mended wholly: %d open edges, %d edges of more than two facets and %d wrongly turned facets are left", left.OpenEdges, left.NonManifoldEdges, left.Flipped)
	} else if m.Mended.Any() {
		r.find(Warn, "mesh", "", 0, [3]float64{}, "the part's mesh was mended: %s", m.Mended.Message())
	}
	if n := m.Remarks.Trailing; n > 0 {
		r.find(Note, "mesh", "", 0, [3]float64{}, "%d bytes after the last facet of the part's file were not used", n)
	}
	r.findReach(m)
	r.findBelt(m)
}

// findReach says at once where a part reaches over the machine's travel, and by
// how much: its moves will (travel-limit).
func (r *run) findReach(m *Model) {
	box := m.Mesh.Bounds()
	travel := r.setup.Machine.Card.PartTravel()
	for _, text := range BeyondTravel(box, &travel) {
		r.find(Warn, "reach", "", 0, point(r3.Scale(0.5, r3.Add(box.Min, box.Max))), "%s", text)
	}
}

// BeyondTravel says along which axes a part's box, mm, reaches over the machine's
// travel; nil: along none.
func BeyondTravel(box r3.Box, t *machine.Travel) []message.Text {
	var texts []message.Text
	for _, a := range []struct {
		name   string
		lo, hi float64
		within [2]float64
	}{{"x", box.Min.X, box.Max.X, t.X}, {"y", box.Min.Y, box.Max.Y, t.Y}, {"z", box.Min.Z, box.Max.Z, t.Z}} {
		const hair = 1e-6
		if a.lo < a.within[0]-hair || a.hi > a.within[1]+hair {
			texts = append(texts, message.New("the part reaches from %.1f to %.1f mm in %s, the machine from %.1f to %.1f: seat it elsewhere, turn or scale it, or use a larger machine", a.lo, a.hi, a.name, a.within[0], a.within[1]))
		}
	}
	return texts
}

// WideEnough reports whether lines are wide enough for a nozzle, mm, to lay: three
// quarters of it (common practice, no source).
func WideEnough(n *Numbers, nozzle float64) bool { return n.LineWidth >= 0.75*nozzle }

// LowEnough reports whether planar layers are low enough for a nozzle, mm, to press
// them on: 0.8 of it (common practice, no source).
func LowEnough(n *Numbers, nozzle float64) bool { return n.LayerHeight <= 0.8*nozzle }

// findNumbers notes lines that are too thin or layers too high for the nozzle.
func (r *run) findNumbers(g *Region) {
	nozzle := r.setup.Machine.Card.Nozzle
	n := &g.Numbers
	if !WideEnough(n, nozzle) {
		r.find(Warn, "thin-line", g.Name, 0, [3]float64{}, "lines are %.3f mm wide, under three quarters of the nozzle's %g mm: use a wider bead or a smaller angle", n.LineWidth, nozzle)
	}
	if !LowEnough(n, nozzle) {
		r.find(Warn, "thin-line", g.Name, 0, [3]float64{}, "planar layers are %.3f mm high, over 0.8 of the nozzle's %g mm: use thinner shells or a smaller angle", n.LayerHeight, nozzle)
	}
}

// findMotion notes what correcting and reading back came to.
func (r *run) findMotion() {
	rep, card := &r.report, r.setup.Machine.Card
	// Words are rounded to a thousandth: a hair over tolerance by the last bit
	// of a sum isn't a fault.
	if !(rep.Deviation <= r.setup.Tolerance+1e-9) {
		r.find(Stop, "deviation", "", rep.DeviationLine, point(rep.DeviationAt), "the motion read back strays %.4f mm from the planar path, %g are allowed: please report this", rep.Deviation, r.setup.Tolerance)
	}
	s := &r.stats
	r.findMark(Stop, "travel-limit", s.OutOfTravel, "%d moves leave the machine's travel: seat the part elsewhere, or use a smaller angle or a lower part")
	r.findMark(Stop, "swivel-range", s.OutOfRange, "%d beads turn further than the swivel can")
	r.findMark(Note, "axis-limit", s.Axis, "%d moves are slower, to keep an axis under its greatest speed")
	r.findMark(Note, "flow-limit", s.Flow, "%d moves are slower, to keep the flow under %g mm3/s", card.MaxFlow)
	if swivel := card.AsSwivel(); swivel != nil {
		r.findMark(Note, "swivel-limit", s.Swivel, "%d moves are slower, to keep the swivel under %g degrees a second", swivel.MaxSpeed)
	}
	if card.MaxMovesPerS > 0 && rep.BusiestSecond > card.MaxMovesPerS {
		r.find(Warn, "rate", "", rep.BusiestLine, point(rep.BusiestAt), "%.0f moves a second, the controller digests %g: use a larger tolerance or a lower speed", rep.BusiestSecond, card.MaxMovesPerS)
	}
	for i, g := range r.result.Regions {
		r.findZone(g, &s.Zones[i+r.firstZone()])
	}
}

func (r *run) findZone(g *Region, z *unwarp.ZoneStats) {
	card := r.setup.Machine.Card
	if off := z.OffSquare * 180 / math.Pi; off > card.Head.OffSquare+1e-6 {
		r.find(Warn, "off-square", g.Name, 0, point(z.OffSquareAt), "the nozzle stands %.1f degrees off square on the shells, %g is the most that its flat tip prints well: use a field nearer to %g degrees", off, card.Head.OffSquare, card.Head.Tilt)
	}
	if z.Ruled.Count > 0 {
		r.find(Note, "thin-contact", g.Name, z.Ruled.Line, point(z.Ruled.At), "%d pieces of beads near the base are raised or thinned", z.Ruled.Count)
	}
	if n := r.offPart(g); n > 0 {
		r.find(Note, "off-part", g.Name, 0, [3]float64{}, "%d beads outside the part's footprint are left out", n)
	}
}

// logPart fills in the log's part.
func (r *run) logPart(m *Model) {
	h := &m.Health
	p := &r.result.Log.Part
	*p = PartLog{
		Triangles: len(m.Mesh.Facets), Volume: tidy(m.Mesh.Volume()), Area: tidy(m.Mesh.Area()), Size: point(m.Size),
		Health: HealthLog{OpenEdges: h.OpenEdges, Nonmanifold: h.NonManifoldEdges, Flipped: h.Flipped, Bodies: h.Bodies, Degenerate: h.Degenerate, Doubled: h.Doubled},
	}
	if m.Mended.Any() {
		p.Mended = m.Mended.String()
	}
	r.result.Log.Findings = runlog.Findings{}
	r.findPart(m)
}

// logZone fills in what is known of a zone once it is warped.
func (r *run) logZone(g *Region) {
	n := &g.Numbers
	r.result.Log.Zones = append(r.result.Log.Zones, ZoneLog{
		Part: g.Part, Name: g.Name, Field: g.Spec,
		Triangles: len(g.Mesh.Facets), Volume: tidy(g.Mesh.Volume()),
		WarpedTriangles: len(g.Warped.Facets), WarpedVolume: tidy(g.Warped.Volume()), WarpedHeight: tidy(g.WarpedHeight()),
		Drop: g.Drop, LayerHeight: n.LayerHeight, LineWidth: n.LineWidth, Pitch: n.Pitch,
		Planned: r.opt.Motion[g.Name] == "",
	})
	r.findNumbers(g)
}

// logMotion fills in what the corrected motion came to.
func (r *run) logMotion() {
	rep, card := &r.report, r.setup.Machine.Card
	contact := r.logSkirt()
	for i, g := range r.result.Regions {
		z, s := &r.result.Log.Zones[i], &r.stats.Zones[i+r.firstZone()]
		z.Moved = true
		z.PlanarFilament, z.ContactFilament = tidy(s.PlanarFilament), tidy(s.ContactFilament)
		z.Register, z.RegisterError = point(g.Offset), tidy(g.FitError)
		z.Shells, z.OffPart = s.Shells, r.offPart(g)
		z.Seconds = tidy(rep.ZoneSeconds[i+r.firstZone()])
		z.SupportVolume = tidy(s.SupportFilament * card.FilamentArea())
		z.Mass = tidy((s.ContactFilament + s.SupportFilament) * card.FilamentArea() * r.setup.Material.Density / 1000)
		contact += s.ContactFilament + s.SupportFilament
		r.findColumns(g, z)
	}
	volume := contact * card.FilamentArea()
	r.result.Log.Moved, r.result.Course = true, rep.Course
	r.result.Log.Motion = MotionLog{
		Moves: rep.Moves, SourceMoves: r.stats.SourceMoves,
		Filament: tidy(contact), Volume: tidy(volume), Mass: tidy(volume * r.setup.Material.Density / 1000),
		Seconds: tidy(rep.Seconds), Deviation: tidy(finite(rep.Deviation)), LowestZ: tidy(rep.LowestZ),
		SwivelSpeed: tidy(rep.SwivelSpeed), Winding: tidy(rep.Winding), Flow: tidy(rep.Flow),
		Broken: r.stats.Broken, Unwound: r.stats.Unwound, MovesPerSecond: tidy(rep.BusiestSecond),
	}
}

// finite keeps a figure writable as JSON: a path that is missing altogether
// deviates without bound.
func finite(v float64) float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return math.MaxFloat32
	}
	return v
}

// support judges overhangs and mid-air starts of every zone, against level
// layers.
func (r *run) support(ctx context.Context) error {
	for i, g := range r.result.Regions {
		if err := ctx.Err(); err != nil {
			return err
		}
		j, err := Judge(ctx, g, r.setup.Overhang, JudgeLevel(g, r.setup.Overhang))
		if err != nil {
			return err
		}
		z := &r.result.Log.Zones[i]
		over, level, starts := tidy(j.Overhang.Area), tidy(j.Level), len(j.Starts)
		z.Overhang, z.LevelOverhang, z.MidairStarts = &over, &level, &starts
		z.Under, z.LevelUnder = tidy(j.Under), tidy(j.LevelUnder)
		if err := j.FindPatches(ctx, g); err != nil {
			return err
		}
		z.Bridges = bridges(j)
		g.Judged = j
	}
	if err := r.hold(ctx); err != nil {
		return err
	}
	for i, g := range r.result.Regions {
		r.findUnheld(g, &r.result.Log.Zones[i])
	}
	r.say("support: judged at %g degrees", r.setup.Overhang)
	return nil
}

// bridges tells bridges from free ends for the log; nil where nothing is
// unsupported.
func bridges(j *Judgement) *BridgeLog {
	if len(j.Patches) == 0 {
		return nil
	}
	b := &BridgeLog{Places: []OverhangPlace{}}
	for i := range j.Patches {
		p := &j.Patches[i]
		b.Area += p.Bridged
		b.FreeArea += p.Area - p.Bridged
		b.Span = max(b.Span, p.Span)
		if p.Area > leastOverhang {
			b.Places = append(b.Places, OverhangPlace{At: point(p.At), Area: tidy(p.Area), Bridge: tidy(p.Bridged), Span: tidy(p.Span)})
		}
	}
	b.Area, b.FreeArea, b.Span = tidy(b.Area), tidy(b.FreeArea), tidy(b.Span)
	slices.SortStableFunc(b.Places, func(p, q OverhangPlace) int { return cmp.Compare(q.Area, p.Area) })
	b.Places = b.Places[:min(len(b.Places), maxListed)]
	return b
}

// leastOverhang is the unsupported area, mm2, below which nobody need look:
// about a bead's width squared.
const leastOverhang = 0.25

// findUnheld notes what leans out, and the shells that begin in mid-air, as far as no
// support holds them.
func (r *run) findUnheld(g *Region, z *ZoneLog) {
	j := g.Judged
	area, at, starts := j.Overhang.Area, r3.Vec{}, j.Starts
	if c := g.Columns; c != nil {
		area, at, starts = c.Unheld, c.UnheldAt, c.UnheldStarts
	} else if area > leastOverhang {
		at = j.overhangAt(g)
	}
	unheld, count := tidy(area), len(starts)
	z.UnheldArea, z.UnheldStarts = &unheld, &count
	if area > leastOverhang {
		r.find(Warn, "overhang", g.Name, 0, point(at), "%.1f mm2 lean out past %g degrees (level layers: %.1f mm2)", area, r.setup.Overhang, j.Level)
	}
	for i, s := range starts {
		if i == maxListed {
			r.find(Warn, "midair-start", g.Name, 0, point(s.At), "%d more shells begin with nothing under them", len(starts)-i)
			break
		}
		r.find(Warn, "midair-start", g.Name, 0, point(s.At), "a shell begins with nothing under it at x %.1f y %.1f z %.1f: cut there, or use another field", s.At.X, s.At.Y, s.At.Z)
	}
}

const maxListed = runlog.MaxListed

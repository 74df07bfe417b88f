package contract

import (
	"math"
)

// body checks what run.json says of the whole motion, ranges, travels, and G92.
func (c *check) body() {
	begin, end := c.span()
	moves, lowest, filament, winding := 0, math.Inf(1), 0.0, 0.0
	m := c.log.Machine
	turnings := m.Turnings()
	for i := range c.path.Steps {
		s := &c.path.Steps[i]
		if s.Line <= begin || s.Line > end {
			continue
		}
		moves++
		for k, a := range turnings {
			winding = math.Max(winding, math.Abs(s.To.Turn[k]-a.Zero))
			if r := a.Range; r != nil && (s.To.Turn[k] < r[0]-1e-6 || s.To.Turn[k] > r[1]+1e-6) {
				c.wrong("line %d: %s goes to %g, its range is %v", s.Line, a.Letter, s.To.Turn[k], *r)
			}
		}
		for k, r := range []*[2]float64{m.Travel.X, m.Travel.Y, m.Travel.Z} {
			if v := s.To.XYZ[k]; s.Zone >= 0 && r != nil && (v < r[0]-1e-3 || v > r[1]+1e-3) && !c.found("travel-limit") {
				c.wrong("line %d: %c goes to %g, its travel is %v", s.Line, "XYZ"[k], v, *r)
			}
		}
		if s.Zone < 0 {
			continue
		}
		if s.Known || s.Has[2] && m.Linear == nil { // else the word of Z alone tells no height
			lowest = math.Min(lowest, c.kin.Pose(s.To).Tip.Z)
		}
		if !s.Known && s.To.E > s.From.E {
			c.wrong("line %d pushes filament before it is known where the machine is", s.Line)
		}
		filament += s.To.E - s.From.E
		if most := m.CountsTo; most > 0 {
			// A bead may end beyond what it began at.
			const bead = 1000.0
			if math.Abs(s.Written.E) > most+bead || math.Abs(s.Written.Turn[0]) > most+bead*360 {
				c.wrong("line %d counts beyond %g: %v", s.Line, most, s.Written)
			}
		}
	}
	l := c.log.Motion
	if moves != l.Moves && c.end() != nil {
		c.wrong("corrected.gcode has %d moves, run.json says %d", moves, l.Moves)
	}
	if l.LowestZ < 0 || lowest < -1e-6 || math.Abs(lowest-l.LowestZ) > 2e-3 {
		c.wrong("the lowest tip is at z %g, run.json says %g", lowest, l.LowestZ)
	}
	if math.Abs(winding-l.Winding) > 1e-2 {
		c.wrong("the greatest winding is %g, run.json says %g", winding, l.Winding)
	}
	contact := 0.0
	for _, z := range c.zones {
		contact += *z.ContactFilament
		if *z.ContactFilament > *z.PlanarFilament*(1+1e-6) {
			c.wrong("zone %s: the bed rule adds filament: %g of %g", z.Name, *z.ContactFilament, *z.PlanarFilament)
		}
	}
	if contact <= 0 || contact > l.Filament*(1+1e-4) {
		c.wrong("motion.filament_mm is %g, the zones' contact filament %g", l.Filament, contact)
	}
	// Retractions come back, but for the last one.
	if math.Abs(filament-l.Filament) > 1e-4*l.Filament+2 {
		c.wrong("corrected.gcode pushes %g mm of filament, run.json says %g", filament, l.Filament)
	}
	if l.Deviation > c.log.Job.Tolerance && !c.found("deviation") {
		c.wrong("greatest_deviation %g is over tolerance", l.Deviation)
	}
	c.shifts()
}

// span is the lines after the start and before the end.
func (c *check) span() (begin, end int) {
	end = c.path.Lines - len(c.end())
	return c.path.Started, end
}

// shifts checks that G92 between the beads takes off filament and whole turns
// only, and never amid a bead.
func (c *check) shifts() {
	for _, f := range c.path.Shifts {
		if f.Zone < 0 {
			continue
		}
		for k := range f.By {
			switch by := f.By[k]; {
			case k < 3 && math.Abs(by) > 1e-9:
				c.wrong("line %d: G92 shifts %c by %g amid the print", f.Line, "XYZ"[k], by)
			case (k == 3 || k == 4) && math.Abs(math.Remainder(by, 360)) > 1e-6:
				c.wrong("line %d: G92 takes %g degrees off, no whole turns", f.Line, by)
			}
		}
		if f.AmidBead {
			c.wrong("line %d: G92 amid a bead", f.Line)
		}
	}
}

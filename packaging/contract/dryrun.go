package contract

import (
	"math"
	"os"
	"path/filepath"

	"conewright/packaging/reading"
)

// raisedBy is how much higher a dry run is, where the travel allows it.
const raisedBy = 20.0

// dryRun checks that the dry run makes the same moves, raised, and neither heats,
// blows nor pushes.
func (c *check) dryRun() {
	file := filepath.Join(c.dir, "dry-run.gcode")
	raise := raisedBy
	highest := math.Inf(-1)
	for _, s := range c.path.Steps {
		if s.Has[2] && s.Known {
			highest = math.Max(highest, s.To.XYZ[2])
		}
	}
	if z := c.log.Machine.Travel.Z; z != nil {
		raise = math.Min(raise, z[1]-highest)
	}
	if _, err := os.Stat(file); err != nil {
		const least = 5.0
		if raise >= least+1 {
			c.wrong("there is no dry-run.gcode, but room to raise it by %g", raise)
		}
		return
	}
	all, err := lines(file)
	if err != nil {
		c.wrong("%v", err)
		return
	}
	for i, l := range all {
		b := reading.ParseBlock(l)
		for _, m := range b.M {
			switch m {
			case 104, 106, 107, 109, 140, 141, 190, 191:
				c.wrong("dry-run.gcode, line %d heats or blows: %s", i+1, l)
			}
		}
		if _, ok := b.Word('E'); ok && len(b.M) == 0 {
			isShift := len(b.G) == 1 && b.G[0] == 92
			if !isShift {
				c.wrong("dry-run.gcode, line %d pushes filament: %s", i+1, l)
			}
		}
	}
	c.sameMoves(file, raise)
}

// sameMoves compares the dry run's places, from the first zone to the end, with
// the motion's.
func (c *check) sameMoves(file string, raise float64) {
	dry, err := reading.ReadPath(file, c.log.Machine)
	if err != nil {
		c.wrong("%v", err)
		return
	}
	for _, f := range dry.Faults {
		c.wrong("dry-run.gcode, %s", f)
	}
	all, raised := goes(c.path), goes(dry)
	if len(all) != len(raised) {
		c.wrong("dry-run.gcode makes %d moves, the motion %d", len(raised), len(all))
	}
	for i, s := range all[:min(len(all), len(raised))] {
		d := raised[i]
		by := d.To.XYZ[2] - s.To.XYZ[2]
		if d.To.XYZ[0] != s.To.XYZ[0] || d.To.XYZ[1] != s.To.XYZ[1] || math.Abs(math.Remainder(d.To.Turn[0]-s.To.Turn[0], 360)) > 1e-6 ||
			math.Abs(d.To.Turn[1]-s.To.Turn[1]) > 1e-6 || math.Abs(by-raise) > 0.01 && s.Zone >= 0 {
			c.wrong("dry-run.gcode, line %d goes to %v, the motion's line %d to %v, to be raised by %g", d.Line, d.To, s.Line, s.To, raise)
			return
		}
		if s.Zone < 0 && s.Has[2] && by < raise-0.01 {
			c.wrong("dry-run.gcode, line %d isn't raised in the start", d.Line)
		}
	}
	for _, s := range dry.Steps {
		if s.To.Turn != s.From.Turn && s.Zone < 0 && !s.Known && !s.Has[2] {
			c.wrong("dry-run.gcode, line %d turns the head before it was raised", s.Line)
		}
	}
}

// goes lists the moves from the first zone on that go or turn somewhere.
func goes(p *reading.Path) []reading.Step {
	var all []reading.Step
	for _, s := range p.Steps {
		if s.Zone >= 0 && (s.To.XYZ != s.From.XYZ || s.To.Turn != s.From.Turn) {
			all = append(all, s)
		}
	}
	return all
}

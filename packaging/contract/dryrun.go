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
	climb, err := c.log.Machine.Climb()
	if err != nil {
		c.wrong("%v", err)
		return
	}
	raise := math.Min(raisedBy, c.room(climb))
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
	c.sameMoves(file, raise, climb)
}

// room is how far the whole motion can be raised before a word of X, Y or Z leaves
// its travel.
func (c *check) room(climb [3]float64) float64 {
	least := math.Inf(1)
	for k, r := range []reading.Range{c.log.Machine.Travel.X, c.log.Machine.Travel.Y, c.log.Machine.Travel.Z} {
		if r == nil || math.Abs(climb[k]) < 1e-9 {
			continue
		}
		end := r[1]
		if climb[k] < 0 {
			end = r[0]
		}
		for _, s := range c.path.Steps {
			if s.Known && s.Zone >= 0 {
				least = math.Min(least, (end-s.To.XYZ[k])/climb[k])
			}
		}
	}
	return least
}

// sameMoves compares the dry run's places, from the first zone to the end, with
// the motion's: every word that lifts the tip stands higher, by its share of the way
// straight up.
func (c *check) sameMoves(file string, raise float64, climb [3]float64) {
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
		strays := math.Abs(math.Remainder(d.To.Turn[0]-s.To.Turn[0], 360)) > 1e-6 || math.Abs(d.To.Turn[1]-s.To.Turn[1]) > 1e-6
		for k := range climb {
			off := math.Abs(d.To.XYZ[k] - s.To.XYZ[k] - raise*climb[k])
			if climb[k] == 0 {
				strays = strays || off != 0
			} else if s.Known || s.Has[k] {
				strays = strays || off > 0.01
			}
		}
		if strays {
			c.wrong("dry-run.gcode, line %d goes to %v, the motion's line %d to %v, to be raised by %g", d.Line, d.To, s.Line, s.To, raise)
			return
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

// Package contract checks what a run wrote against the published contract of
// its files. It reads only the run's folder and shares no code with the program:
// formulas and formats stand here a second time, so that a mistake in one place
// shows.
package contract

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"conewright/packaging/reading"
)

// check collects what is wrong with a run's folder.
type check struct {
	dir    string
	strict bool           // asks for what isn't in every log yet
	raw    map[string]any // run.json, for keys that must be there
	log    *reading.Log
	path   *reading.Path // corrected.gcode; nil where it isn't there
	kin    *reading.Kinematics
	zones  []*reading.Zone // in the order of the file's zone lines
	faults []error
	told   map[string]int // faults of each kind
}

// wrong notes a fault. Faults of one kind beyond the first few are left out, so
// that they don't hide the other kinds.
func (c *check) wrong(format string, args ...any) {
	const most = 5
	if c.told == nil {
		c.told = map[string]int{}
	}
	if c.told[format]++; c.told[format] <= most {
		c.faults = append(c.faults, fmt.Errorf(format, args...))
	}
}

// Check returns what is wrong with a finished run's folder; nothing if all is
// well.
func Check(dir string) []error { return checked(&check{dir: dir}) }

// CheckStrictly asks also for what isn't in every log yet.
func CheckStrictly(dir string) []error { return checked(&check{dir: dir, strict: true}) }

func checked(c *check) []error {
	data, err := os.ReadFile(filepath.Join(c.dir, "run.json"))
	if err == nil {
		err = json.Unmarshal(data, &c.raw)
	}
	if err == nil {
		c.log, err = reading.ReadLog(c.dir)
	}
	if err != nil {
		return []error{fmt.Errorf("run.json: %w", err)}
	}
	if c.complete(); len(c.faults) > 0 {
		return c.faults // the rest would only stumble over it
	}
	c.findings()
	c.files()
	c.meshes()
	if c.read() {
		c.frame()
		c.body()
		c.beads()
		c.speeds()
		c.dryRun()
	}
	return c.faults
}

// read reads corrected.gcode; false where it isn't there or makes no sense.
func (c *check) read() bool {
	if c.forbidden() {
		return false
	}
	path, err := reading.ReadPath(filepath.Join(c.dir, "corrected.gcode"), c.log.Machine)
	if err != nil {
		return false // said already
	}
	for _, f := range path.Faults {
		c.wrong("corrected.gcode, %s", f)
	}
	c.kin, err = c.log.Machine.Kinematics()
	if err != nil {
		c.wrong("%v", err)
		return false
	}
	if len(path.Zones) != len(c.log.Zones) {
		c.wrong("corrected.gcode has the zones %q", path.Zones)
		return false
	}
	for i := range c.log.Zones {
		if path.Zones[i] != c.log.Zones[i].Name {
			c.wrong("zone %d is %s, run.json says %s", i, path.Zones[i], c.log.Zones[i].Name)
			return false
		}
		c.zones = append(c.zones, &c.log.Zones[i])
	}
	c.path = path
	return true
}

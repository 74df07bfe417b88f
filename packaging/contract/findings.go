package contract

import (
	"os"
	"path/filepath"
)

// ranks are those of the finding codes in CONTRACT.
var ranks = map[string]string{
	"collision": "stop", "travel-limit": "stop", "swivel-range": "stop", "deviation": "stop", "register": "stop",
	"midair-start": "warn", "overhang": "warn", "off-square": "warn", "unknown-word": "stop", "thin-contact": "note",
	"thin-line": "warn", "axis-limit": "note", "rate": "warn", "flow-limit": "note", "swivel-limit": "note",
	"off-part": "note", "mesh": "warn", "hanging": "warn", "dig": "warn", "foreign": "note", "start": "warn",
	"changed": "stop", "temperature": "stop", "support": "note",
}

// findings checks codes, ranks and that figures and findings agree.
func (c *check) findings() {
	for _, f := range c.log.Findings {
		if f.Text == "" || ranks[f.Code] == "" || f.Rank != ranks[f.Code] {
			c.wrong("run.json: a finding makes no sense: %+v", f)
		}
	}
	m := c.log.Motion
	if m == nil {
		return
	}
	const longRun = 5.0 // mm, of the code's definition
	if m.LongestHang != nil && *m.LongestHang > longRun+0.5 && !c.found("hanging") {
		c.wrong("the longest hanging bead is %g mm, without a finding", *m.LongestHang)
	}
	if m.GreatestDig != nil && *m.GreatestDig > c.log.Job.Shell/3+0.01 && !c.found("dig") {
		c.wrong("the rim digs %g mm, without a finding", *m.GreatestDig)
	}
}

func (c *check) found(code string) bool {
	for _, f := range c.log.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// forbidden reports that a finding kept the motion from being written.
func (c *check) forbidden() bool {
	for _, f := range c.log.Findings {
		if f.Rank == "stop" {
			_, err := os.Stat(filepath.Join(c.dir, "corrected.gcode"))
			return err != nil
		}
	}
	return false
}

// Package contract checks what a run wrote against the published contract of
// its files. It reads only the run's folder and shares no code with the program:
// formulas and formats stand here a second time, so that a mistake in one place
// shows.
package contract

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
)

// Field is a zone's field as run.json holds it.
type Field struct {
	Kind   string     `json:"kind"`
	Grow   string     `json:"grow"`
	Angle  float64    `json:"angle"`
	Axis   [2]float64 `json:"axis"`
	Round  float64    `json:"round"`
	Toward float64    `json:"toward"`
}

// At is the lift at a place, by the contract's formulas.
func (f *Field) At(x, y float64) float64 {
	s := math.Tan(f.Angle * math.Pi / 180)
	switch f.Kind {
	case "cone":
		v := s * (math.Sqrt(math.Pow(x-f.Axis[0], 2)+math.Pow(y-f.Axis[1], 2)+f.Round*f.Round) - f.Round)
		if f.Grow == "inward" {
			return -v
		}
		return v
	case "ramp":
		t := f.Toward * math.Pi / 180
		return s * (x*math.Cos(t) + y*math.Sin(t))
	}
	return 0
}

// gradient is the direction in which the lift grows; ok is false where it has none.
func (f *Field) gradient(x, y float64) (azimuth float64, ok bool) {
	switch f.Kind {
	case "cone":
		dx, dy := x-f.Axis[0], y-f.Axis[1]
		if math.Hypot(dx, dy) < 1e-6 {
			return 0, false
		}
		if f.Grow == "inward" {
			dx, dy = -dx, -dy
		}
		return math.Atan2(dy, dx) * 180 / math.Pi, true
	case "ramp":
		return f.Toward, true
	}
	return 0, false
}

type fileLog struct {
	File   string `json:"file"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

type zoneLog struct {
	Name            string      `json:"name"`
	Field           *Field      `json:"field"`
	Volume          *float64    `json:"volume_mm3"`
	WarpedTriangles *int        `json:"warped_triangles"`
	WarpedVolume    *float64    `json:"warped_volume_mm3"`
	Drop            *float64    `json:"drop"`
	LayerHeight     *float64    `json:"layer_height"`
	LineWidth       *float64    `json:"line_width"`
	Pitch           *float64    `json:"pitch"`
	PlanarFilament  *float64    `json:"planar_filament_mm"`
	ContactFilament *float64    `json:"contact_filament_mm"`
	Register        *[3]float64 `json:"register"`
	Shells          *int        `json:"shells"`
}

type swivel struct {
	Letter    string     `json:"letter"`
	Sense     float64    `json:"sense"`
	Zero      float64    `json:"zero"`
	TipOffset [3]float64 `json:"tip_offset"`
}

// Log is what of run.json is checked.
type Log struct {
	Version int    `json:"conewright_run"`
	Made    string `json:"made"`
	Program string `json:"version"`
	Job     *struct {
		Shell     float64 `json:"shell"`
		Tolerance float64 `json:"tolerance"`
	} `json:"job"`
	Machine *struct {
		Swivel *swivel `json:"swivel"`
		Travel struct {
			X [2]float64 `json:"x"`
			Y [2]float64 `json:"y"`
			Z [2]float64 `json:"z"`
		} `json:"travel"`
		End      string  `json:"end"`
		Filament float64 `json:"filament"`
	} `json:"machine"`
	Inputs  []fileLog `json:"inputs"`
	Outputs []fileLog `json:"outputs"`
	Part    *struct {
		Triangles int        `json:"triangles"`
		Volume    float64    `json:"volume_mm3"`
		Area      float64    `json:"area_mm2"`
		Size      [3]float64 `json:"size"`
	} `json:"part"`
	Zones  []zoneLog `json:"zones"`
	Motion *struct {
		Moves     int     `json:"moves"`
		Filament  float64 `json:"filament_mm"`
		Deviation float64 `json:"greatest_deviation"`
		LowestZ   float64 `json:"lowest_z"`
		Seconds   float64 `json:"seconds"`
	} `json:"motion"`
	Findings []struct {
		Rank string `json:"rank"`
		Code string `json:"code"`
		Text string `json:"text"`
		Line int    `json:"line"`
	} `json:"findings"`
	Stages []struct {
		Name string `json:"name"`
	} `json:"stages"`
}

// check collects what is wrong with a run's folder.
type check struct {
	dir    string
	log    Log
	faults []error
}

func (c *check) wrong(format string, args ...any) {
	const most = 50
	if len(c.faults) < most {
		c.faults = append(c.faults, fmt.Errorf(format, args...))
	}
}

// Check returns what is wrong with a finished run's folder; nothing if all is
// well.
func Check(dir string) []error {
	c := &check{dir: dir}
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	if err == nil {
		err = json.Unmarshal(data, &c.log)
	}
	if err != nil {
		return []error{fmt.Errorf("run.json: %w", err)}
	}
	if c.complete(); len(c.faults) > 0 {
		return c.faults // the rest would only stumble over it
	}
	c.files()
	for i := range c.log.Zones {
		c.warped(&c.log.Zones[i])
	}
	c.motion()
	c.dryRun()
	return c.faults
}

// complete checks that run.json holds what every run fills in.
func (c *check) complete() {
	l := &c.log
	if l.Version != 1 || l.Made == "" || l.Program == "" || l.Job == nil || l.Machine == nil || l.Part == nil || l.Motion == nil ||
		l.Findings == nil || len(l.Zones) == 0 || len(l.Stages) == 0 || len(l.Inputs) == 0 || len(l.Outputs) == 0 {
		c.wrong("run.json lacks an entry: %+v", l)
		return
	}
	for _, z := range l.Zones {
		if z.Name == "" || z.Field == nil || z.Volume == nil || z.WarpedTriangles == nil || z.WarpedVolume == nil || z.Drop == nil ||
			z.LayerHeight == nil || z.LineWidth == nil || z.Pitch == nil || z.PlanarFilament == nil || z.ContactFilament == nil ||
			z.Register == nil || z.Shells == nil {
			c.wrong("run.json, zone %q lacks an entry", z.Name)
		}
	}
	for _, f := range l.Findings {
		if f.Text == "" || ranks[f.Code] == "" || f.Rank != ranks[f.Code] {
			c.wrong("run.json: a finding makes no sense: %+v", f)
		}
	}
}

// ranks are those of the finding codes in CONTRACT.
var ranks = map[string]string{
	"collision": "stop", "travel-limit": "stop", "swivel-range": "stop", "deviation": "stop", "register": "stop",
	"midair-start": "warn", "overhang": "warn", "off-square": "warn", "unknown-word": "stop", "thin-contact": "note",
	"thin-line": "warn", "axis-limit": "note", "rate": "warn", "flow-limit": "note", "swivel-limit": "note",
	"off-part": "note", "mesh": "warn",
}

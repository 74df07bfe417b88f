package job

import (
	"conewright/geom/machine"
	"conewright/geom/runlog"

	"gonum.org/v1/gonum/spatial/r3"
)

// Program is this program's version.
const Program = "0.1.0"

// Log is the run log, run.json. What a run can't fill is left out.
type Log struct {
	Version  int             `json:"conewright_run"`
	Made     string          `json:"made"` // RFC 3339
	Program  string          `json:"version"`
	Job      *Setup          `json:"job"`
	Machine  *machine.Card   `json:"machine"`
	Inputs   []FileLog       `json:"inputs"`
	Outputs  []FileLog       `json:"outputs"`
	Part     PartLog         `json:"part"`
	Zones    []ZoneLog       `json:"zones"`
	Skirt    *SkirtLog       `json:"skirt,omitempty"`
	Motion   MotionLog       `json:"motion"`
	Findings runlog.Findings `json:"findings"`
	Stages   []StageLog      `json:"stages"`
	// Moved tells that Motion is filled in: not where a brought file was refused.
	Moved bool `json:"-"`
	// Unchecked says in plain words what this run did not prove.
	Unchecked []string `json:"unchecked,omitempty"`
}

// PartLog tells about the part as it was read and seated.
type PartLog struct {
	Triangles int        `json:"triangles"`
	Volume    float64    `json:"volume_mm3"`
	Area      float64    `json:"area_mm2"`
	Size      [3]float64 `json:"size"`
	Health    HealthLog  `json:"health"`
	Mended    string     `json:"mended,omitempty"` // what mending did, in words
}

// HealthLog is the mesh's health as the file has it, before mending.
type HealthLog struct {
	OpenEdges   int `json:"open_edges"`
	Nonmanifold int `json:"nonmanifold_edges"`
	Flipped     int `json:"flipped"`
	Bodies      int `json:"bodies"`
	Degenerate  int `json:"degenerate"`
	Doubled     int `json:"doubled"`
}

// ZoneLog tells about a zone.
type ZoneLog struct {
	Part            string     `json:"part,omitempty"` // of several parts: which one's
	Name            string     `json:"name"`
	Field           *Field     `json:"field"`
	Triangles       int        `json:"triangles"`
	Volume          float64    `json:"volume_mm3"`
	WarpedTriangles int        `json:"warped_triangles"`
	WarpedVolume    float64    `json:"warped_volume_mm3"`
	WarpedHeight    float64    `json:"warped_height"`
	Drop            float64    `json:"drop"`
	LayerHeight     float64    `json:"layer_height"`
	LineWidth       float64    `json:"line_width"`
	Pitch           float64    `json:"pitch"`
	Planned         bool       `json:"planned_here"`
	PlanarFilament  float64    `json:"planar_filament_mm"`
	ContactFilament float64    `json:"contact_filament_mm"`
	Register        [3]float64 `json:"register"`
	RegisterError   float64    `json:"register_error"`
	Overhang        *float64   `json:"overhang_area_mm2,omitempty"`
	LevelOverhang   *float64   `json:"level_overhang_area_mm2,omitempty"`
	MidairStarts    *int       `json:"midair_starts,omitempty"`
	// UnheldArea and UnheldStarts are what of them no support holds: all without
	// support.
	UnheldArea    *float64   `json:"unheld_area_mm2,omitempty"`
	UnheldStarts  *int       `json:"unheld_starts,omitempty"`
	SupportVolume float64    `json:"support_volume_mm3"` // of the beads of support
	Bridges       *BridgeLog `json:"bridges,omitempty"`
	Under         float64    `json:"under_overhang_mm3"`       // columns down to the bed
	LevelUnder    float64    `json:"level_under_overhang_mm3"` // the same for level layers
	Mass          float64    `json:"mass_g"`
	Seconds       float64    `json:"seconds"` // estimated printing time, with the way there
	Shells        int        `json:"shells"`
	OffPart       int        `json:"off_part_beads"`
	// Moved tells that what motion says of the zone is filled in.
	Moved bool `json:"-"`
}

// BridgeLog parts a zone's unsupported area: what straight beads held at both
// ends can span, and what hangs by one end or none.
type BridgeLog struct {
	Area     float64         `json:"area_mm2"`      // of bridges
	FreeArea float64         `json:"free_area_mm2"` // the rest
	Span     float64         `json:"longest_mm"`    // the longest bead that a bridge needs
	Places   []OverhangPlace `json:"places"`        // the largest first
}

// OverhangPlace is a connected piece of what is unsupported.
type OverhangPlace struct {
	At     [3]float64 `json:"at"`
	Area   float64    `json:"area_mm2"`
	Bridge float64    `json:"bridge_mm2"` // of it
	Span   float64    `json:"longest_mm"` // 0: no bridge
}

// SkirtLog tells about the rings on the bed that are laid before the first
// zone. They count in the motion's filament and time, in no zone's.
type SkirtLog struct {
	Name            string  `json:"name"` // of its planar file, and in corrected.gcode
	Rings           int     `json:"rings"`
	Distance        float64 `json:"distance"` // from the part, mm: what was asked for or more
	PlanarFilament  float64 `json:"planar_filament_mm"`
	ContactFilament float64 `json:"contact_filament_mm"` // after the bed rule
	Seconds         float64 `json:"seconds"`
}

// MotionLog tells about corrected.gcode.
type MotionLog struct {
	Moves          int      `json:"moves"`
	SourceMoves    int      `json:"source_moves"`
	Filament       float64  `json:"filament_mm"`
	Volume         float64  `json:"volume_mm3"`
	Mass           float64  `json:"mass_g"`
	Seconds        float64  `json:"seconds"`
	Deviation      float64  `json:"greatest_deviation"`
	LowestZ        float64  `json:"lowest_z"`
	SwivelSpeed    float64  `json:"greatest_swivel_speed"`
	Winding        float64  `json:"greatest_winding"`
	Flow           float64  `json:"greatest_flow"`
	LeastClearance *float64 `json:"least_clearance,omitempty"`     // to print and obstacles
	LeastBed       *float64 `json:"least_bed_clearance,omitempty"` // beyond tip_free
	Hanging        float64  `json:"hanging_mm"`                    // length of the part's beads in runs over 5 mm with nothing under them
	LongestHang    float64  `json:"longest_hang_mm"`               // of such a run
	GreatestDig    float64  `json:"greatest_dig"`                  // of the nozzle's rim into beads laid before, mm
	Broken         int      `json:"broken_beads"`
	Unwound        int      `json:"unwound"`
	MovesPerSecond float64  `json:"greatest_moves_per_second"`
	Written        bool     `json:"written"` // whether corrected.gcode was
}

// Finding is something that the user should know.
type Finding = runlog.Finding

// Ranks of findings.
const (
	Stop = runlog.Stop
	Warn = runlog.Warn
	Note = runlog.Note
)

// StageLog tells how long a stage took.
type StageLog struct {
	Name    string  `json:"name"`
	Seconds float64 `json:"seconds"`
}

func point(v r3.Vec) [3]float64 { return runlog.Point(v) }

func tidy(v float64) float64 { return runlog.Tidy(v) }

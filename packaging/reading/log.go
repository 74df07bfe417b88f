package reading

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// File is an input or output as the log lists it.
type File struct {
	File   string `json:"file"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Zone is what the log says of a zone. A pointer is nil where the log has no
// such entry.
type Zone struct {
	Name            string      `json:"name"`
	Part            string      `json:"part"`
	Field           *Field      `json:"field"`
	Triangles       *int        `json:"triangles"`
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
	RegisterError   *float64    `json:"register_error"`
	OverhangArea    *float64    `json:"overhang_area_mm2"`
	LevelOverhang   *float64    `json:"level_overhang_area_mm2"`
	MidairStarts    *int        `json:"midair_starts"`
	Shells          *int        `json:"shells"`
	SupportVolume   *float64    `json:"support_volume_mm3"`
	UnheldArea      *float64    `json:"unheld_area_mm2"`
	UnheldStarts    *int        `json:"unheld_starts"`
	Planned         *bool       `json:"planned_here"`
}

// PlannedHere reports that the zone's planar motion wasn't brought. Logs say so
// beyond the contract.
func (z *Zone) PlannedHere() bool { return z.Planned == nil || *z.Planned }

// Cut is the plane of an inner node of a zone tree.
type Cut struct {
	Point  [3]float64  `json:"point"`
	Normal [3]float64  `json:"normal"`
	Only   *[3]float64 `json:"only"`
}

// Tree is a job's zone tree: a leaf has a name, an inner node a cut.
type Tree struct {
	Name  string `json:"name"`
	Cut   *Cut   `json:"cut"`
	Under *Tree  `json:"under"`
	Over  *Tree  `json:"over"`
}

// Names lists the tree's zones in printing order.
func (t *Tree) Names() []string {
	if t == nil {
		return nil
	}
	if t.Cut == nil {
		return []string{t.Name}
	}
	return append(t.Under.Names(), t.Over.Names()...)
}

// Cuts lists the planes that zone name of the tree may rest on.
func (t *Tree) Cuts(name string) []Cut {
	cuts, _ := t.cuts(name)
	return cuts
}

func (t *Tree) cuts(name string) (cuts []Cut, found bool) {
	if t == nil {
		return nil, false
	}
	if t.Cut == nil {
		return nil, t.Name == name
	}
	if cuts, found := t.Under.cuts(name); found {
		return cuts, true
	}
	cuts, found = t.Over.cuts(name)
	if found {
		cuts = append(cuts, *t.Cut)
	}
	return cuts, found
}

// Job is what of the job is checked.
type Job struct {
	Version   int     `json:"conewright"`
	Shell     float64 `json:"shell"`
	Bead      float64 `json:"bead"`
	Tolerance float64 `json:"tolerance"`
	Overhang  float64 `json:"overhang"`
	Support   string  `json:"support"`
	StartFrom string  `json:"start_from"`
	Zones     *Tree   `json:"zones"`
	Parts     []struct {
		Name  string `json:"name"`
		Zones *Tree  `json:"zones"`
	} `json:"parts"`
}

// Cuts lists the planes that a zone may rest on.
func (j *Job) Cuts(zone string) []Cut {
	cuts := j.Zones.Cuts(zone)
	for i := range j.Parts {
		cuts = append(cuts, j.Parts[i].Zones.Cuts(zone)...)
	}
	return cuts
}

// Finding is one of the log's findings.
type Finding struct {
	Rank string     `json:"rank"`
	Code string     `json:"code"`
	Zone string     `json:"zone"`
	Line int        `json:"line"`
	At   [3]float64 `json:"at"`
	Text string     `json:"text"`
}

// Log is what of run.json is checked.
type Log struct {
	Version int      `json:"conewright_run"`
	Made    string   `json:"made"`
	Program string   `json:"version"`
	Job     *Job     `json:"job"`
	Machine *Machine `json:"machine"`
	Inputs  []File   `json:"inputs"`
	Outputs []File   `json:"outputs"`
	Part    *struct {
		Triangles int        `json:"triangles"`
		Volume    float64    `json:"volume_mm3"`
		Area      float64    `json:"area_mm2"`
		Size      [3]float64 `json:"size"`
	} `json:"part"`
	Zones  []Zone `json:"zones"`
	Motion *struct {
		Moves         int      `json:"moves"`
		Filament      float64  `json:"filament_mm"`
		Volume        float64  `json:"volume_mm3"`
		Seconds       float64  `json:"seconds"`
		Deviation     float64  `json:"greatest_deviation"`
		LowestZ       float64  `json:"lowest_z"`
		Swivel        float64  `json:"greatest_swivel_speed"`
		Winding       float64  `json:"greatest_winding"`
		Flow          float64  `json:"greatest_flow"`
		Clearance     *float64 `json:"least_clearance"`
		Hanging       *float64 `json:"hanging_mm"`
		LongestHang   *float64 `json:"longest_hang_mm"`
		GreatestDig   *float64 `json:"greatest_dig"`
		SourceMoves   int      `json:"source_moves"`
		LeastBedClear *float64 `json:"least_bed_clearance"`
	} `json:"motion"`
	Findings []Finding `json:"findings"`
	Stages   []struct {
		Name    string  `json:"name"`
		Seconds float64 `json:"seconds"`
	} `json:"stages"`
}

// ReadLog reads run.json of a run's folder.
func ReadLog(dir string) (*Log, error) {
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	if err != nil {
		return nil, err
	}
	log := &Log{}
	if err := json.Unmarshal(data, log); err != nil {
		return nil, fmt.Errorf("run.json: %w", err)
	}
	return log, nil
}

package job

import "encoding/json"

// JSON returns the log as run.json holds it: what a run couldn't fill is left
// out, and findings of codes that CONTRACT doesn't list stand apart, as remarks,
// so that programs may rely on the list.
func (l *Log) JSON() ([]byte, error) {
	type all Log
	out := struct {
		*all
		Motion   *MotionLog `json:"motion,omitempty"`
		Findings []Finding  `json:"findings"`
		Remarks  []Finding  `json:"remarks,omitempty"`
	}{all: (*all)(l), Findings: []Finding{}}
	if l.Moved {
		out.Motion = &l.Motion
	}
	for _, f := range l.Findings {
		if listed[f.Code] {
			out.Findings = append(out.Findings, f)
		} else {
			out.Remarks = append(out.Remarks, f)
		}
	}
	data, err := json.MarshalIndent(out, "", "  ")
	return append(data, '\n'), err
}

// listed are the codes of CONTRACT.
var listed = map[string]bool{
	"collision": true, "travel-limit": true, "swivel-range": true, "deviation": true, "register": true,
	"midair-start": true, "overhang": true, "off-square": true, "unknown-word": true, "thin-contact": true,
	"thin-line": true, "axis-limit": true, "rate": true, "flow-limit": true, "swivel-limit": true,
	"off-part": true, "mesh": true,
	"hanging": true, "dig": true, "foreign": true, "start": true, "changed": true, "temperature": true, "support": true,
}

// MarshalJSON leaves out what only motion tells where none was made.
func (z ZoneLog) MarshalJSON() ([]byte, error) {
	type all ZoneLog
	if z.Moved {
		return json.Marshal(all(z))
	}
	type none *struct{}
	return json.Marshal(struct {
		all
		PlanarFilament  none `json:"planar_filament_mm,omitempty"`
		ContactFilament none `json:"contact_filament_mm,omitempty"`
		SupportVolume   none `json:"support_volume_mm3,omitempty"`
		Register        none `json:"register,omitempty"`
		RegisterError   none `json:"register_error,omitempty"`
		Mass            none `json:"mass_g,omitempty"`
		Seconds         none `json:"seconds,omitempty"`
		Shells          none `json:"shells,omitempty"`
		OffPart         none `json:"off_part_beads,omitempty"`
	}{all: all(z)})
}

package job

import (
	"encoding/json"
	"testing"
)

func TestLogLeavesOutWhatNoMotionTold(t *testing.T) {
	for _, moved := range []bool{false, true} {
		l := &Log{Moved: moved, Zones: []ZoneLog{{Name: "a", Field: &Field{Kind: KindLevel}, Moved: moved}}, Findings: []Finding{
			{Rank: Stop, Code: "register"}, {Rank: Warn, Code: "pause"},
		}}
		data, err := l.JSON()
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			Motion   map[string]any
			Zones    []map[string]any
			Findings []Finding
			Remarks  []Finding
		}
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"register", "register_error", "planar_filament_mm", "contact_filament_mm", "shells"} {
			if _, ok := got.Zones[0][key]; ok != moved {
				t.Errorf("moved %v: %s stands there: %v", moved, key, ok)
			}
		}
		if (got.Motion != nil) != moved || got.Zones[0]["name"] != "a" || got.Zones[0]["drop"] == nil {
			t.Errorf("moved %v: %s", moved, data)
		}
		if len(got.Findings) != 1 || got.Findings[0].Code != "register" || len(got.Remarks) != 1 || got.Remarks[0].Code != "pause" {
			t.Errorf("findings %v, remarks %v", got.Findings, got.Remarks)
		}
	}
}

package attacks

import (
	"encoding/json"
	"strings"
	"testing"

	"conewright/packaging/contract"
	"conewright/packaging/madeparts"
)

// A cut that is limited to one prong of a V takes that one and leaves the other
// whole; the contract's check tells if it were the other one.
func TestACutLimitedToOnePieceKeepsTheContract(t *testing.T) {
	b := newBench(t, madeparts.Wall(6, [2]float64{-8, 0}, [2]float64{8, 0}, [2]float64{13, 12}, [2]float64{7, 12}, [2]float64{0, 4}, [2]float64{-7, 12}, [2]float64{-13, 12}))
	b.write("job.json", b.job(map[string]any{"zones": map[string]any{
		"cut":   map[string]any{"point": []float64{125, 105, 7}, "normal": []float64{0, 0, 1}, "only": []float64{134, 105, 10}},
		"under": map[string]any{"name": "rest", "field": map[string]any{"kind": "level"}},
		"over":  map[string]any{"name": "right", "field": map[string]any{"kind": "level"}},
	}}))
	if o := b.run("out", "-accept"); o.Status != 0 {
		t.Fatalf("exit %d: %s", o.Status, o.Stderr)
	}
	for _, fault := range contract.Check(b.path("out")) {
		t.Error(fault)
	}
	var log struct {
		Zones []struct {
			Name   string  `json:"name"`
			Volume float64 `json:"volume_mm3"`
		} `json:"zones"`
	}
	if err := json.Unmarshal([]byte(b.read("out/run.json")), &log); err != nil {
		t.Fatal(err)
	}
	// The prong at z = 7 is 8.291666 wide, at z = 12 it is 6: 5 x 6 x their mean.
	const want = 5 * 6 * (8.0 + 5.0*7/12 - 7.0*3/8 + 6) / 2
	if got := log.Zones[1].Volume; log.Zones[1].Name != "right" || got < want-1e-3 || got > want+1e-3 {
		t.Errorf("zone %s has %g mm3, want %g", log.Zones[1].Name, got, want)
	}
	text := b.read("out/run.json")
	swapped := strings.Replace(text, "134,", "116,", 1)
	if swapped == text {
		t.Fatal("run.json doesn't tell the point")
	}
	b.write("out/run.json", swapped)
	for _, fault := range contract.Check(b.path("out")) {
		if strings.Contains(fault.Error(), "stays under the cut") {
			return
		}
	}
	t.Error("the wrong prong isn't found out")
}

package window

import (
	"encoding/json"
	"testing"
)

// A dragged place stands in the job as short as its number field shows it.
func TestGridSaysTenths(t *testing.T) {
	for v, want := range map[float64]string{31.87: "31.9", 0.3000001: "0.3", -12.24: "-12.2", 125: "125"} {
		if got, _ := json.Marshal(onGrid(v)); string(got) != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
}

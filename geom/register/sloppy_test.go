package register

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Beads that cut across the first layer of an upright part, as a coarse brim's
// may, don't cost it that layer.
func TestFirstLayerUnderACoarseBrim(t *testing.T) {
	m := loft(ring{0, ell(110, 90, 30, 24, 9)}, ring{7, ell(110, 90, 30, 24, 9)})
	d := dialect{walls: 2, fill: 0.2, width: 0.45, relativeE: true}
	file := planarJob{m: m, h: 0.28, d: d}.make()
	at := bytes.Index(file.text, []byte("Z0.56"))
	at = bytes.LastIndexByte(file.text[:at], '\n') + 1
	var brim strings.Builder
	for i := range 10 {
		s, c := math.Sincos(math.Pi / 10 * float64(i))
		fmt.Fprintf(&brim, "G0 X%.3f Y%.3f F6000\nG1 X%.3f Y%.3f E0.8 F1800\n", 125-18*c, 102-15*s, 125+18*c, 102+15*s)
	}
	text := append(append(bytes.Clone(file.text[:at]), brim.String()...), file.text[at:]...)
	r, err := Find(context.Background(), opener(text), m, Options{LayerHeight: 0.28, LineWidth: d.width})
	if err != nil {
		t.Fatal(err)
	}
	if off := r3.Norm(r.Offset); off > 0.02 || r.FirstBead != file.first {
		t.Errorf("off by %v, first bead in line %d, is in %d", r.Offset, r.FirstBead, file.first)
	}
}

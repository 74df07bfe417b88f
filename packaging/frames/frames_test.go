package frames

import (
	"flag"
	"os"
	"testing"

	"conewright/geom/mesh"
)

// For packaging/frames.sh, which needs a part of so many facets in a file.
var (
	file   = flag.String("part", "", "write the part to this file")
	name   = flag.String("name", "ring", "of the part")
	facets = flag.Int("facets", 100_000, "of the part")
)

func TestPart(t *testing.T) {
	m, err := Part(*name, *facets)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(m.Facets); n < *facets*9/10 || n > *facets*11/10 {
		t.Errorf("%d facets, not %d", n, *facets)
	}
	if h := m.Check(); h.OpenEdges+h.NonManifoldEdges+h.Flipped > 0 || h.Bodies != 1 || m.Volume() <= 0 {
		t.Errorf("no closed part: %+v, volume %g", h, m.Volume())
	}
	if *file == "" {
		return
	}
	f, err := os.Create(*file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := mesh.WriteSTL(f, m); err != nil {
		t.Fatal(err)
	}
}

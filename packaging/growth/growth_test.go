package growth

import (
	"flag"
	"testing"
)

// For packaging/growth.sh, which needs the jobs in a folder.
var dir = flag.String("dir", "", "write the parts and jobs into this folder")

func TestPartsAreClosed(t *testing.T) {
	all, err := Cases()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if h := c.Mesh.Check(); h.OpenEdges+h.NonManifoldEdges+h.Flipped > 0 || h.Bodies != 1 || c.Mesh.Volume() <= 0 {
			t.Errorf("%s: no closed part: %+v, volume %g", c.Name, h, c.Mesh.Volume())
		}
	}
	if *dir == "" {
		return
	}
	if err := Write(*dir); err != nil {
		t.Fatal(err)
	}
}

package generate

import (
	"bytes"
	"fmt"

	"conewright/geom/mesh"
)

// parts lists the demo parts.
var parts = []struct {
	name  string
	build func() (*mesh.Mesh, error)
}{
	{"beacon", beacon}, {"bollard", bollard}, {"bracket", bracket}, {"brazier", brazier},
	{"cleat", cleat}, {"cowl", cowl}, {"davit", davit}, {"gantry", gantry},
	{"hopper", hopper}, {"penstock", penstock}, {"standpipe", standpipe},
}

// Parts returns every demo part as a binary STL file, by name without ending.
func Parts() (map[string][]byte, error) {
	files := make(map[string][]byte, len(parts))
	for _, p := range parts {
		m, err := p.build()
		if err != nil {
			return nil, fmt.Errorf("demo part %s: %w", p.name, err)
		}
		var buf bytes.Buffer
		if err := mesh.WriteSTL(&buf, m); err != nil {
			return nil, fmt.Errorf("demo part %s: %w", p.name, err)
		}
		files[p.name] = buf.Bytes()
	}
	return files, nil
}

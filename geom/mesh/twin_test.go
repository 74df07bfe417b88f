package mesh

import (
	"context"
	"io"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"github.com/hschendel/stl"
)

// The general library's decoder as a slow twin of model3MF.read.
func TestModelIsReadAsTheGeneralLibraryDoes(t *testing.T) {
	compared := 0
	for _, c := range good {
		if !strings.HasSuffix(c.file, ".3mf") {
			continue
		}
		pkg, err := openPackage(&watched{ctx: context.Background(), src: strings.NewReader(string(c.data))}, int64(len(c.data)), 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		root, err := pkg.root()
		if err != nil {
			t.Fatal(err)
		}
		var data []byte
		if err := pkg.unpack(root, func(src io.Reader) error { data, err = io.ReadAll(src); return err }); err != nil {
			t.Fatal(err)
		}
		var want go3mf.Model
		if err := go3mf.UnmarshalModel(data, &want); err != nil && !strings.Contains(err.Error(), "attribute") {
			continue // character data is beyond it
		}
		left := 1 << 20
		have := &model3MF{name: root, objects: map[uint32]*object3MF{}, left: &left}
		if err := have.read(strings.NewReader(string(data))); err != nil {
			t.Fatal(err)
		}
		for _, o := range want.Resources.Objects {
			twin := have.objects[o.ID]
			if twin == nil {
				t.Fatalf("%s: object %d is missing", c.name, o.ID)
			}
			if o.Mesh == nil {
				if len(twin.components) != len(o.Components.Component) {
					t.Errorf("%s: object %d has %d components, want %d", c.name, o.ID, len(twin.components), len(o.Components.Component))
				}
				continue
			}
			for i, v := range o.Mesh.Vertices.Vertex {
				if twin.vertices[i] != v {
					t.Errorf("%s: vertex %d is %v, want %v", c.name, i, twin.vertices[i], v)
				}
			}
			for i, f := range o.Mesh.Triangles.Triangle {
				if twin.facets[i] != [3]uint32{f.V1, f.V2, f.V3} {
					t.Errorf("%s: facet %d is %v", c.name, i, twin.facets[i])
				}
			}
			compared++
		}
		if len(have.items) != len(want.Build.Items) {
			t.Errorf("%s: %d items, want %d", c.name, len(have.items), len(want.Build.Items))
		}
	}
	if compared < 5 {
		t.Errorf("only %d meshes were compared", compared)
	}
}

// The STL library as a slow twin of readTextSTL.
func TestTextSTLIsReadAsTheLibraryDoes(t *testing.T) {
	text := string(stlAsText(torus(40, 15, 50, 30)))
	want, err := stl.ReadAll(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	m, err := read([]byte(text), "a.stl", ReadOptions{})
	if err != nil || len(m.Facets) != len(want.Triangles) {
		t.Fatal(err)
	}
	for i, f := range want.Triangles {
		a, b, c := m.Corners(i)
		if a != stlVec(f.Vertices[0]) || b != stlVec(f.Vertices[1]) || c != stlVec(f.Vertices[2]) {
			t.Fatalf("facet %d differs", i)
		}
	}
}

// Package outside writes what programs from outside then check: solids,
// volumes, sections and cuts as JSON, warped meshes as STL. The scripts beside
// it run the checks; without CONEWRIGHT_OUTSIDE there is nothing to do.
package outside

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/section"
	"conewright/geom/warp"
	"conewright/geom/zone"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

type sectionArea struct {
	Height float64 `json:"height"`
	Area   float64 `json:"area"`
}

type cut struct {
	Normal [3]float64 `json:"normal"`
	Offset float64    `json:"offset"`
	Over   float64    `json:"over"`
	Under  float64    `json:"under"`
}

// testCase is what manifold.mjs reads.
type testCase struct {
	Name     string        `json:"name"`
	Solid    string        `json:"solid"`
	Volume   float64       `json:"volume"`
	Sections []sectionArea `json:"sections"`
	Cuts     []cut         `json:"cuts"`
}

const (
	heights   = 20  // sections of each mesh
	planes    = 900 // random planes through each part: over 10,000 in all
	cuts      = 12  // of them that manifold.mjs looks at too
	tolerance = 0.02
)

func TestWriteCases(t *testing.T) {
	dir := os.Getenv("CONEWRIGHT_OUTSIDE")
	if dir == "" {
		t.Skip("run packaging/outside/manifold.sh")
	}
	parts, err := filepath.Glob("../../assets/parts/*.stl")
	if err != nil || len(parts) == 0 {
		t.Fatalf("no demo parts: %v", err)
	}
	for _, file := range append(parts, filepath.Join(dir, "bunny.obj")) {
		name := filepath.Base(file)
		raw, _, err := mesh.ReadFile(t.Context(), file, mesh.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		part, did := raw.Mend()
		if h := part.Check(); !h.Sound() {
			t.Fatalf("%s: after mending (%s): %s", name, did, h)
		}
		part = part.Seat(125, 105)
		writeCase(t, dir, name, part, true)
		box := part.Bounds()
		f := field.NewCone(math.Pi/4, false, r2.Vec{X: 125, Y: 105}, 0)
		if name == "bunny.obj" { // off the middle, so that nothing is symmetrical
			f = field.NewCone(math.Pi/4, false, r2.Vec{X: box.Min.X + 0.3*(box.Max.X-box.Min.X), Y: 100}, 0)
		}
		warped, _, err := warp.Warp(context.Background(), part, &f, tolerance)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(warped.Volume() - part.Volume()); d > math.Max(1e-3*part.Volume(), part.Area()*tolerance/2) {
			t.Errorf("%s: warping changes the volume by %g of %g", name, d, part.Volume())
		}
		writeCase(t, dir, name+"-warped", warped, false)
		writeSTL(t, dir, name+"-warped", warped)
	}
}

// writeCase writes a solid with its volume, sections and, if split, cuts.
func writeCase(t *testing.T, dir, name string, m *mesh.Mesh, split bool) {
	t.Helper()
	c := testCase{Name: name, Solid: name + ".solid.json", Volume: m.Volume(), Cuts: []cut{}}
	box := m.Bounds()
	var zs []float64
	for i := range heights {
		zs = append(zs, box.Min.Z+(box.Max.Z-box.Min.Z)*(float64(i)+0.5137)/heights)
	}
	sections, err := section.Sections(context.Background(), m, zs)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sections {
		c.Sections = append(c.Sections, sectionArea{s.Z, s.Area()})
	}
	if split {
		c.Cuts = randomCuts(t, m)
	}
	write(t, filepath.Join(dir, c.Solid), solidOf(m))
	write(t, filepath.Join(dir, name+".case.json"), c)
}

func randomCuts(t *testing.T, m *mesh.Mesh) []cut {
	rng := rand.New(rand.NewSource(7))
	box := m.Bounds()
	list := []cut{}
	whole := m.Volume()
	for done := 0; done < planes; {
		n := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: math.Abs(rng.NormFloat64())})
		k := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		d := r3.Sub(box.Max, box.Min)
		p := r3.Add(box.Min, r3.Vec{X: k.X * d.X, Y: k.Y * d.Y, Z: k.Z * d.Z})
		under, over, err := zone.Cut(m, zone.Plane{Point: p, Normal: n})
		if err != nil {
			continue // the plane misses the part
		}
		for _, child := range []*mesh.Mesh{under, over} {
			if open := child.Adjacent().OpenEdges; open > 0 {
				t.Errorf("a cut at %v toward %v leaves %d open edges", p, n, open)
			}
		}
		if d := over.Volume() + under.Volume() - whole; math.Abs(d) > 1e-6*whole {
			t.Errorf("a cut at %v toward %v loses %g mm3", p, n, d)
		}
		if done++; done <= cuts {
			list = append(list, cut{[3]float64{n.X, n.Y, n.Z}, r3.Dot(n, p), over.Volume(), under.Volume()})
		}
	}
	return list
}

func solidOf(m *mesh.Mesh) any {
	s := struct {
		Vertices []float64 `json:"vertices"`
		Facets   []int32   `json:"facets"`
	}{}
	for _, v := range m.Vertices {
		s.Vertices = append(s.Vertices, v.X, v.Y, v.Z)
	}
	for _, f := range m.Facets {
		s.Facets = append(s.Facets, f[:]...)
	}
	return s
}

func writeSTL(t *testing.T, dir, name string, m *mesh.Mesh) {
	t.Helper()
	f, err := os.Create(filepath.Join(dir, name+".stl"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := mesh.WriteSTL(f, m); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".volume"), []byte(fmt.Sprintf("%.6f\n", m.Volume())), 0o666); err != nil {
		t.Fatal(err)
	}
}

func write(t *testing.T, file string, v any) {
	t.Helper()
	data, err := json.Marshal(v)
	if err == nil {
		err = os.WriteFile(file, data, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
}

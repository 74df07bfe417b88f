// Package growth makes the jobs with which packaging/growth.sh measures what a run
// costs as its work grows: pairs of jobs, the second with ten times as many facets,
// moves, zones or shells as the first and, as far as that can be, the same of all
// else.
package growth

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/packaging/frames"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Case is one job of a pair.
type Case struct {
	Name    string // what grows, and 1 or 10
	Mesh    *mesh.Mesh
	Machine string
	Zones   string // JSON
}

const (
	cone  = `{ "kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105] }`
	level = `{ "kind": "level" }`
)

// Cases lists the jobs, the lesser of each pair first.
func Cases() ([]Case, error) {
	var all []Case
	for _, times := range []int{1, 10} {
		root := math.Sqrt(float64(times))
		ring, err := frames.Part("ring", 10_000*times)
		if err != nil {
			return nil, err
		}
		name := func(what string) string { return fmt.Sprintf("%s-%d", what, times) }
		all = append(all,
			Case{name("facets"), small(ring), "swivel-45", zone("ring", cone)},
			Case{name("moves"), disc(6*root, int(50*root)), "straight", zone("disc", level)},
			Case{name("zones"), pillar(40), "swivel-45", slices(2*times, 40)},
			Case{name("shells"), pillar(15 * float64(times)), "swivel-45", zone("pillar", cone)})
	}
	return all, nil
}

// small is the wavy ring at a quarter of its size: 25 mm wide.
func small(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Facets: m.Facets}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Scale(0.25, v))
	}
	return out
}

// disc is printed in rings of as many moves as it has sides.
func disc(radius float64, sides int) *mesh.Mesh {
	return form.Turned([]r2.Vec{{X: 0, Y: 0}, {X: radius, Y: 0}, {X: radius, Y: 4}, {X: 0, Y: 4}}, sides)
}

func pillar(height float64) *mesh.Mesh {
	return form.Box(r3.Vec{X: -4, Y: -4}, r3.Vec{X: 4, Y: 4, Z: height})
}

func zone(name, field string) string {
	return fmt.Sprintf(`{ "name": %q, "field": %s }`, name, field)
}

// slices cuts a pillar into n zones of one height.
func slices(n int, height float64) string {
	tree := zone("slice-1", cone)
	for i := 1; i < n; i++ {
		tree = fmt.Sprintf(`{ "cut": { "point": [125, 105, %g], "normal": [0, 0, 1] }, "under": %s, "over": %s }`,
			height*float64(i)/float64(n), tree, zone(fmt.Sprintf("slice-%d", i+1), cone))
	}
	return tree
}

// Write writes the parts and jobs into a folder.
func Write(dir string) error {
	all, err := Cases()
	if err != nil {
		return err
	}
	for _, c := range all {
		if err := c.write(dir); err != nil {
			return err
		}
	}
	return nil
}

func (c *Case) write(dir string) error {
	f, err := os.Create(filepath.Join(dir, c.Name+".stl"))
	if err != nil {
		return err
	}
	defer f.Close()
	if err := mesh.WriteSTL(f, c.Mesh); err != nil {
		return err
	}
	job := fmt.Sprintf(`{ "conewright": 1, "part": { "file": "%s.stl" }, "machine": %q, "planner": { "fill": %g }, "zones": %s }`,
		c.Name, c.Machine, c.fill(), c.Zones)
	return os.WriteFile(filepath.Join(dir, c.Name+".json"), []byte(job), 0o666)
}

// fill is full where moves grow: their number then follows from the area.
func (c *Case) fill() float64 {
	if strings.HasPrefix(c.Name, "moves") {
		return 1
	}
	return 0.15
}

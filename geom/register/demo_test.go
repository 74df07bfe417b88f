package register

import (
	"bytes"
	"context"
	"math/rand/v2"
	"path"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/assets"
	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

// The demo parts, each in its field, each in some of the dialects.
func TestFindsDemoParts(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("slow")
	}
	fields := map[string]field.Field{
		"bollard":  field.NewCone(45*degree, false, r2.Vec{X: 125, Y: 105}, 0),
		"bracket":  field.NewCone(45*degree, false, r2.Vec{X: 125, Y: 99.5}, 0),
		"cleat":    field.NewCone(45*degree, false, r2.Vec{X: 125, Y: 105}, 0),
		"cowl":     field.NewCone(45*degree, false, r2.Vec{X: 125, Y: 105}, 0),
		"davit":    field.NewCone(45*degree, false, r2.Vec{X: 110.5, Y: 105}, 0),
		"gantry":   field.NewRamp(45*degree, 0),
		"hopper":   field.NewCone(45*degree, true, r2.Vec{X: 125, Y: 105}, 0),
		"penstock": field.NewCone(45*degree, true, r2.Vec{X: 125, Y: 105}, 0),
	}
	rnd := rand.New(rand.NewPCG(5, 5))
	names, err := assets.Files.ReadDir("parts")
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range names {
		name := n.Name()[:len(n.Name())-len(path.Ext(n.Name()))]
		data, err := assets.Files.ReadFile("parts/" + n.Name())
		if err != nil {
			t.Fatal(err)
		}
		part, _, err := mesh.Read(context.Background(), bytes.NewReader(data), int64(len(data)), n.Name(), mesh.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		f := fields[name]
		m, _, err := warp.Warp(context.Background(), part.Seat(125, 105), &f, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		for k := range 2 {
			d := dialects[(2*i+k)%len(dialects)].filled()
			t.Run(name+"/"+d.name, func(t *testing.T) {
				want := r3.Vec{X: rnd.Float64()*80 - 40, Y: rnd.Float64()*80 - 40}
				file := planarJob{m: m, h: 0.28, d: d, shift: want}.make()
				if d.raft > 0 {
					want.Z = 0.3*float64(d.raft) + 0.15
				}
				expect(t, file, m, d, want)
			})
		}
	}
}

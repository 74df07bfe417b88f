package register

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/planner"
	"conewright/geom/warp"
)

// plainPart is a made part whose footprints tell little of dz, with its field.
type plainPart struct {
	name   string
	m      *mesh.Mesh // warped
	layer  float64    // height of a planar layer, mm
	width  float64    // of a line, mm
	pitch  float64    // of lines, mm
	shells int        // non-empty layers
}

// plainParts makes boxes, prisms and plates, 1 to 20 mm high, seated at the
// middle of the bed, in level, ramp and cone fields.
func plainParts(t *testing.T, n int) []plainPart {
	c := r2.Vec{X: 125, Y: 105}
	rnd := rand.New(rand.NewPCG(8, 15))
	at := func(dx, dy float64) r2.Vec { return r2.Vec{X: c.X + dx, Y: c.Y + dy} }
	heights := []float64{1, 1.2, 2, 3, 3.05, 5, 7.7, 10, 14, 20}
	var parts []plainPart
	for i := range n {
		top := heights[i%len(heights)]
		if i >= 100 {
			top = math.Round(100*(1+19*rnd.Float64())) / 100
		}
		a, b := 8+float64(rnd.IntN(30)), 8+float64(rnd.IntN(30))
		if i%2 == 0 {
			a, b = [...]float64{8, 12, 20}[i/2%3], [...]float64{8, 20, 12}[i/6%3]
		}
		var foot []r2.Vec
		kind := [...]string{"box", "prism", "plate", "angle"}[i/3%4]
		switch kind {
		case "box":
			foot = []r2.Vec{at(-a/2, -b/2), at(a/2, -b/2), at(a/2, b/2), at(-a/2, b/2)}
		case "plate":
			top = min(top, 1+0.1*top)
			a, b = 2*a, 2*b
			foot = []r2.Vec{at(-a/2, -b/2), at(a/2, -b/2), at(a/2, b/2), at(-a/2, b/2)}
		case "prism":
			foot = circlePoly(c, a/2, 3+i%7)
		case "angle":
			foot = ell(c.X-a/2, c.Y-b/2, a+4, b+4, 5)
		}
		f, angle, name := field.Field{}, 0.0, "level"
		switch i % 3 {
		case 1:
			angle, name = float64(15+5*rnd.IntN(7))*degree, "ramp"
			f = field.NewRamp(angle, float64(rnd.IntN(12))*30*degree)
		case 2:
			angle, name = float64(15+5*rnd.IntN(7))*degree, "cone"
			f = field.NewCone(angle, i%2 == 0, at(float64(rnd.IntN(5)-2), 0), 0)
		}
		m, _, err := warp.Warp(context.Background(), loft(ring{0, foot}, ring{top, foot}), &f, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		p := plainPart{name: fmt.Sprintf("%d %s %.4g x %.4g x %.4g %s %.0f", i, kind, a, b, top, name, angle/degree), m: m, layer: 0.2 / math.Cos(angle)}
		area := (0.45-0.2)*0.2 + math.Pi/4*0.2*0.2
		p.pitch = area / p.layer
		p.width = p.pitch + p.layer*(1-math.Pi/4)
		for z := p.layer / 2; z < m.Bounds().Max.Z; z += p.layer {
			if len(contours(m, z)) > 0 {
				p.shells++
			}
		}
		parts = append(parts, p)
	}
	return parts
}

// A file of an upright part tells its height by its own first layer alone. Each
// part is printed whole at its place, from a plain generator and from the own
// planner, or refused with the reason.
func TestPlainPartsComeBackAtTheirHeight(t *testing.T) {
	n := 200
	if testing.Short() || raced {
		n = 24
	}
	taken, refused := 0, 0
	check := func(p plainPart, from string, text []byte, shift r3.Vec) {
		r, err := Find(context.Background(), opener(text), p.m, Options{LayerHeight: p.layer, LineWidth: p.width})
		var miss *Mismatch
		if errors.As(err, &miss) {
			refused++
			t.Logf("%s, %s: %v", p.name, from, err)
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		taken++
		off := r3.Sub(r.Offset, shift)
		if math.Abs(off.Z) > 0.02 {
			t.Errorf("%s, %s: dz %.3f", p.name, from, off.Z)
		}
		if math.Hypot(off.X, off.Y) > 0.05 {
			t.Errorf("%s, %s: dx %.3f dy %.3f", p.name, from, off.X, off.Y)
		}
		if r.OffPart > 0 && from == "planner" {
			t.Errorf("%s, %s: %d beads left out", p.name, from, r.OffPart)
		}
	}
	for i, p := range plainParts(t, n) {
		shift := r3.Vec{X: float64(i%7)*3 - 9, Y: float64(i%5)*4 - 8}
		d := dialect{width: p.width, walls: 1 + i%3, fill: [...]float64{0, 0.2, 1}[i%3], skirts: i / 5 % 3, brim: i / 7 % 2 * 4, relativeE: i%2 == 0, hop: float64(i%2) * 0.4}
		file := planarJob{m: p.m, h: p.layer, d: d, shift: shift}.make()
		check(p, "plain", file.text, shift)
		planned, err := planner.Plan(context.Background(), p.m, planner.Options{
			LayerHeight: p.layer, BeadArea: p.pitch * p.layer, Pitch: p.pitch, LineWidth: p.width, Filament: 1.75,
			Walls: 2, Caps: 2, Fill: 0.15, Speed: 40, TravelSpeed: 120, Axis: r2.Vec{X: 125, Y: 105}}, nil)
		if err != nil {
			t.Logf("%s: %v", p.name, err)
			continue
		}
		var text bytes.Buffer
		if err := planned.Write(&text); err != nil {
			t.Fatal(err)
		}
		check(p, "planner", text.Bytes(), r3.Vec{})
	}
	t.Logf("%d taken, %d refused", taken, refused)
}

// A scale or a turn that stays within the bound is named all the same.
func TestNamesASmallScaleAndTurn(t *testing.T) {
	for _, c := range []struct {
		name string
		like func(v r3.Vec) r3.Vec
		says string
	}{
		{"a percent larger", func(v r3.Vec) r3.Vec { return r3.Scale(1.01, v) }, "101.0 %"},
		{"0.8 percent smaller", func(v r3.Vec) r3.Vec { return r3.Scale(0.992, v) }, "99.2 %"},
		{"turned by half a degree", func(v r3.Vec) r3.Vec {
			sin, cos := math.Sincos(0.5 * degree)
			x, y := v.X-125, v.Y-105
			return r3.Vec{X: 125 + cos*x - sin*y, Y: 105 + sin*x + cos*y, Z: v.Z}
		}, "0.50 degrees"},
		{"as it is", func(v r3.Vec) r3.Vec { return v }, ""},
	} {
		for _, high := range []float64{3, 15} {
			m := form.Box(r3.Vec{X: 103, Y: 90}, r3.Vec{X: 147, Y: 120, Z: high})
			file := planarJob{m: transform(m, false, c.like), h: 0.2, d: dialects[0].filled()}.make()
			_, err := Find(context.Background(), opener(file.text), m, Options{LayerHeight: 0.2, LineWidth: 0.45})
			if c.says == "" && err != nil || c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
				t.Errorf("%s, %g mm high: %v", c.name, high, err)
			}
		}
	}
}

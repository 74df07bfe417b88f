package render_test

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/internal/shape"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const degree = math.Pi / 180

var center = r2.Vec{X: 125, Y: 105}

// scenes are the inputs of goldens and pictures.
func scenes() map[string]render.Input {
	return map[string]render.Input{
		"bollard": bollard(),
		"bracket": bracket(),
		"funnel":  funnel(),
		"zones":   zones(),
		"level":   level(),
		"ramp":    ramp(),
		"bed":     onBed(),
		"line":    aboutLine(),
	}
}

// looks are inputs for pictures only.
func looks() map[string]render.Input {
	below := level()
	below.View = render.View{Azimuth: -50 * degree, Elevation: -25 * degree, Set: true}
	half, full := zones(), zones()
	half.Warp, full.Warp = 0.5, 1
	tilted := zones()
	tilted.Cuts[0].Normal = r3.Unit(r3.Vec{X: 0.3, Z: 1})
	tilted.Flat = render.Flat{Zoom: 1.6, Pan: r2.Vec{X: 5, Y: 8}}
	tilted.View = render.View{Azimuth: -40 * degree, Elevation: 10 * degree, Set: true, Zoom: 3}
	laid := bollard()
	for z := 0.2; z < 20; z += 0.6 {
		var bead []r3.Vec
		for a := 0.0; a <= 360; a += 5 {
			r := 10.0
			bead = append(bead, r3.Vec{X: 125 + r*math.Cos(a*degree), Y: 105 + r*math.Sin(a*degree), Z: z})
		}
		laid.Beads = append(laid.Beads, bead)
	}
	laid.Laid.Counts = []int{len(laid.Beads)}
	bare := zones()
	bare.Options.NoShells = true
	bridge := level()
	bridge.Bridged, bridge.Findings = under(bridge.Mesh, 0), []r3.Vec{{X: 125, Y: 90, Z: 20}}
	bridge.Cuts = tilted.Cuts
	all := map[string]render.Input{"below": below, "half": half, "full": full, "tilted": tilted, "laid": laid, "bare": bare, "bridge": bridge}
	inside, belt := onBed(), onBed()
	inside.Bed = &render.Bed{Travel: r3.Box{Max: r3.Vec{X: 250, Y: 210, Z: 200}}, Obstacles: in250()}
	belt.Bed = &render.Bed{Travel: r3.Box{Min: r3.Vec{Y: math.Inf(-1)}, Max: r3.Vec{X: 140, Y: math.Inf(1), Z: 40}}}
	all["bed-inside"], all["bed-belt"] = inside, belt
	for _, v := range []drawing.View{drawing.Elevation, drawing.Plan, drawing.Pictorial} {
		alone := bridge
		alone.Options.Only = v
		all["alone-"+v.String()] = alone
	}
	return all
}

func bollard() render.Input {
	m := shape.Bollard(center, 96)
	return render.Input{
		Mesh:  m,
		Zones: []render.Zone{{Name: "all", Mesh: m, Field: field.NewCone(45*degree, false, center, 0)}},
		Shell: 0.2,
		Head: &render.Head{
			Shape: machine.Head{Tilt: 45, Profile: [][2]float64{{0, 0.3}, {1, 0.8}, {6, 4.5}, {20, 12}, {40, 14}}},
			Tip:   r3.Vec{X: 152, Y: 105, Z: 36},
		},
		Snap:    &render.Snap{At: r3.Vec{X: 125, Y: 105}, Words: "centroid"},
		Options: render.Options{Hidden: true, Selected: drawing.Item{Kind: drawing.AxisItem}},
		Fields:  render.Fields{Title: "Quay bollard", Machine: "swivel-45", Zones: "all", Shell: "0.20 mm", Overhang: "0 mm²"},
	}
}

func bracket() render.Input {
	arm := func(lo, hi r3.Vec) *mesh.Mesh { return form.Box(lo, hi) }
	m := form.Joined(
		arm(r3.Vec{X: 110, Y: 90}, r3.Vec{X: 140, Y: 120, Z: 50}),
		arm(r3.Vec{X: 140, Y: 98, Z: 32}, r3.Vec{X: 170, Y: 112, Z: 42}),
		arm(r3.Vec{X: 118, Y: 120, Z: 20}, r3.Vec{X: 132, Y: 145, Z: 30}),
		arm(r3.Vec{X: 85, Y: 98, Z: 38}, r3.Vec{X: 110, Y: 112, Z: 50}),
	)
	in := render.Input{
		Mesh:    m,
		Zones:   []render.Zone{{Name: "all", Field: field.NewCone(45*degree, false, center, 2)}},
		Options: render.Options{Hidden: true},
		Fields:  render.Fields{Title: "Three-armed bracket", Machine: "swivel-45-wired", Zones: "all", Shell: "0.20 mm", Overhang: "350 mm²"},
		MidAir:  []r3.Vec{{X: 125, Y: 145, Z: 20}},
	}
	in.Overhang = under(m, 20)
	return in
}

// under returns the facets at z that face down.
func under(m *mesh.Mesh, z float64) [][3]r3.Vec {
	var out [][3]r3.Vec
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		if a.Z == z && b.Z == z && c.Z == z && r3.Cross(r3.Sub(b, a), r3.Sub(c, a)).Z < 0 {
			out = append(out, [3]r3.Vec{a, b, c})
		}
	}
	return out
}

func funnel() render.Input {
	m := shape.Revolve(center, 120,
		[2]float64{30, 0}, [2]float64{34, 0}, [2]float64{34, 20}, [2]float64{10, 44}, [2]float64{10, 60},
		[2]float64{7, 60}, [2]float64{7, 42.5}, [2]float64{30, 19})
	return render.Input{
		Mesh:    m,
		Zones:   []render.Zone{{Name: "all", Mesh: m, Field: field.NewCone(30*degree, true, center, 0)}},
		Options: render.Options{Hidden: true},
		Fields:  render.Fields{Title: "Funnel, closing inward", Machine: "straight", Zones: "all", Shell: "0.20 mm", Overhang: "0 mm²"},
	}
}

func zones() render.Input {
	stem := shape.Revolve(center, 96, [2]float64{0, 0}, [2]float64{18, 0}, [2]float64{18, 3}, [2]float64{11, 10},
		[2]float64{10.5, 14}, [2]float64{10.5, 30}, [2]float64{0, 30})
	head := shape.Revolve(center, 96, [2]float64{0, 30}, [2]float64{10.5, 30}, [2]float64{10.5, 33}, [2]float64{27, 33},
		[2]float64{27, 39}, [2]float64{23, 43}, [2]float64{0, 45})
	in := bollard()
	in.Zones = []render.Zone{
		{Name: "stem", Mesh: stem, Field: field.NewCone(20*degree, false, center, 0)},
		{Name: "head", Mesh: head, Field: field.NewCone(45*degree, false, center, 0)},
	}
	in.Cuts = []render.Cut{{Point: r3.Vec{X: 125, Y: 105, Z: 30}, Normal: r3.Vec{Z: 1}, Label: "1"}}
	in.Head, in.Snap = nil, nil
	in.Options.Selected = drawing.Item{Kind: drawing.CutItem}
	in.Fields.Zones = "2: stem, head"
	return in
}

func level() render.Input {
	in := bollard()
	in.Zones[0].Field = field.Field{}
	in.Overhang = under(in.Mesh, 33)
	in.Head, in.Snap, in.Options.Selected = nil, nil, drawing.Item{}
	in.MidAir = []r3.Vec{{X: 152, Y: 105, Z: 33}}
	in.Fields.Overhang = "1,944 mm²"
	return in
}

// aboutLine is a ridge whose second point is selected.
func aboutLine() render.Input {
	in := bracket()
	line := []r2.Vec{{X: 95, Y: 105}, {X: 125, Y: 105}, {X: 150, Y: 120}}
	in.Zones[0].Field, in.Zones[0].Points = field.NewRidge(45*degree, false, line, 0), line
	in.Overhang, in.MidAir = nil, nil
	in.Options.Selected = drawing.Item{Kind: drawing.PointItem, Index: 1}
	return in
}

// onBed is the part over the right end of the travel, beside a clip.
func onBed() render.Input {
	in := level()
	in.Overhang, in.MidAir = nil, nil
	in.Bed = &render.Bed{
		Travel:    r3.Box{Max: r3.Vec{X: 140, Y: 210, Z: 200}},
		Obstacles: []r3.Box{{Min: r3.Vec{X: 88, Y: 100}, Max: r3.Vec{X: 95, Y: 112, Z: 6}}},
	}
	return in
}

func in250() []r3.Box {
	return []r3.Box{{Max: r3.Vec{X: 20, Y: 20, Z: 8}}, {Min: r3.Vec{X: 230, Y: 190}, Max: r3.Vec{X: 250, Y: 210, Z: 8}}}
}

func ramp() render.Input {
	in := bracket()
	in.Zones[0].Field = field.NewRamp(45*degree, 0)
	return in
}

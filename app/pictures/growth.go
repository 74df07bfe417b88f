package pictures

import (
	"bytes"
	_ "embed"
	"html/template"
	"math"

	"conewright/geom/mesh"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/output"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

//go:embed growth.html
var growthPage string

// GrowthWords are the words of a page of growth, in the reader's language.
type GrowthWords struct {
	Language, Title         string
	Level, Plan             string // over the drawings
	Play, Pause, Moment     string // of the controls
	Hangs                   string // what the marks that come say
	LevelFigure, PlanFigure string // under the drawings
}

// growthSteps is how many pictures the growth is cut into.
const growthSteps = 90

// Size of each drawing on the page, mm.
const (
	growthWidth  = 130.0
	growthHeight = 120.0
)

// Growth returns a page that plays by itself how a part grows, in level layers and in
// the plan's shells, side by side and in step. What hangs is marked as it comes. The
// page needs no network.
func Growth(level, plan render.Input, words GrowthWords) ([]byte, error) {
	page, err := template.New("growth").Parse(growthPage)
	if err != nil {
		return nil, err
	}
	shown := struct {
		GrowthWords
		Steps       int
		LevelLayers []template.HTML
		PlanLayers  []template.HTML
	}{GrowthWords: words, Steps: growthSteps}
	if shown.LevelLayers, err = growthLayers(level); err != nil {
		return nil, err
	}
	if shown.PlanLayers, err = growthLayers(plan); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = page.Execute(&b, shown)
	return b.Bytes(), err
}

// growthLayers draws the elevation as pictures that are laid over each other: first
// what stands from the beginning, then what comes with each step.
func growthLayers(in render.Input) ([]template.HTML, error) {
	in.Options = render.Options{Only: drawing.Elevation, NoFrame: true, Size: r2.Vec{X: growthWidth, Y: growthHeight}}
	in.Warp, in.View, in.Flat, in.Head, in.Laid = 0, render.View{}, render.Flat{}, nil, render.Laid{}
	d := render.Sheet(in)
	steps := make([]drawing.Drawing, growthSteps+1)
	for i := range steps {
		steps[i].Size = d.Size
	}
	steps[0].Texts = d.Texts
	f, there := d.FrameOf(drawing.Elevation)
	g := newGrowth(in.Mesh, in.Zones)
	for _, l := range d.Lines {
		step := 0
		if comes := l.Pen == drawing.Shell || l.Pen == drawing.Hatch; comes && there && l.View == drawing.Elevation && len(l.Points) > 1 {
			step = g.step(f.World(r2.Scale(0.5, r2.Add(l.Points[0], l.Points[1]))))
		}
		steps[step].Lines = append(steps[step].Lines, l)
	}
	for _, m := range d.Marks {
		step := 0
		if m.Item.Kind == drawing.MidAirItem && m.Item.Index < len(in.MidAir) {
			step = g.step(in.MidAir[m.Item.Index])
		}
		steps[step].Marks = append(steps[step].Marks, m)
	}
	layers := make([]template.HTML, len(steps))
	for i := range steps {
		if i > 0 && len(steps[i].Lines)+len(steps[i].Marks) == 0 {
			continue
		}
		var b bytes.Buffer
		if err := output.SVG(&b, &steps[i], output.Options{Clear: i > 0}); err != nil {
			return nil, err
		}
		layers[i] = template.HTML(b.String()) // made here, from numbers and escaped words
	}
	return layers, nil
}

// growth tells when the shells reach a place: zones one after the other, each shell
// by shell.
type growth struct{ zones []growthZone }

type growthZone struct {
	render.Zone
	low, high   float64 // its shells
	begin, ends float64 // shares of all the growth
}

func newGrowth(part *mesh.Mesh, zones []render.Zone) growth {
	var g growth
	all := 0.0
	for _, z := range zones {
		if z.Mesh == nil {
			z.Mesh = part
		}
		n := growthZone{Zone: z, low: math.Inf(1), high: math.Inf(-1), begin: all}
		for _, v := range z.Mesh.Vertices {
			c := n.shell(v)
			n.low, n.high = math.Min(n.low, c), math.Max(n.high, c)
		}
		if axis, ok := z.Field.Axis(); ok { // no vertex need lie there
			if foot := (r3.Vec{X: axis.X, Y: axis.Y, Z: z.Mesh.Bounds().Min.Z + justInside}); z.Mesh.Holds(foot) {
				n.low = math.Min(n.low, n.shell(foot))
			}
		}
		all += (n.high - n.low) * math.Cos(z.Field.Angle()) // as thick as all its shells
		n.ends = all
		g.zones = append(g.zones, n)
	}
	for i := range g.zones {
		g.zones[i].begin /= all
		g.zones[i].ends /= all
	}
	return g
}

// justInside is how far over its lowest face a zone is asked whether it is solid, mm.
const justInside = 0.01

// shell returns the height of the shell through a place, where it crosses the axis.
func (z *growthZone) shell(v r3.Vec) float64 { return v.Z + z.Field.At(r2.Vec{X: v.X, Y: v.Y}) }

// step returns the step at which a place is reached, 1 to growthSteps. A place beside
// the part belongs to the zone over it: what hangs is drawn under what it is of.
func (g growth) step(p r3.Vec) int {
	for up := 0.0; up < 4; up += 0.5 {
		for i := range g.zones {
			z := &g.zones[i]
			if at := (r3.Vec{X: p.X, Y: p.Y, Z: p.Z + up}); z.Mesh.Holds(at) {
				share := (z.shell(at) - z.low) / math.Max(z.high-z.low, 1e-9)
				share = z.begin + min(max(share, 0), 1)*(z.ends-z.begin)
				return 1 + int(math.Round(share*(growthSteps-1)))
			}
		}
	}
	return growthSteps
}

package unwarp_test

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/unwarp"
	"conewright/geom/zone"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// plainBase is the base of a zone looked up facet by facet: slow, and plainly
// what CONTRACT says.
type plainBase [][3]r3.Vec

func newPlainBase(m *mesh.Mesh) plainBase {
	var b plainBase
	for i := range m.Facets {
		p, q, r := m.Corners(i)
		onBed := p.Z <= 0.01 && q.Z <= 0.01 && r.Z <= 0.01
		if m.Origin(i) == mesh.CapBase || onBed {
			b = append(b, [3]r3.Vec{p, q, r})
		}
	}
	return b
}

// at returns the highest facet under (x, y) that isn't above under and no
// steeper than 60 degrees, else the bed.
func (b plainBase) at(x, y, under float64) (z float64, normal r3.Vec) {
	normal = r3.Vec{Z: 1}
	for _, f := range b {
		n := r3.Cross(r3.Sub(f[1], f[0]), r3.Sub(f[2], f[0]))
		if n.Z < 0 {
			n = r3.Scale(-1, n)
		}
		if r3.Norm(n) == 0 || n.Z < 0.5*r3.Norm(n) || !inPlan(f, x, y) {
			continue
		}
		h := f[0].Z - (n.X*(x-f[0].X)+n.Y*(y-f[0].Y))/n.Z
		if h > z && h <= under {
			z, normal = h, r3.Unit(n)
		}
	}
	return z, normal
}

func inPlan(f [3]r3.Vec, x, y float64) bool {
	pos, neg := false, false
	for i := range 3 {
		a, b := f[i], f[(i+1)%3]
		s := (b.X-a.X)*(y-a.Y) - (b.Y-a.Y)*(x-a.X)
		pos, neg = pos || s > 0, neg || s < 0
	}
	return !(pos && neg)
}

// stackCase is a zone on a base, and beads near that base.
type stackCase struct {
	card  *machine.Card
	zone  unwarp.Zone
	base  plainBase
	beads []r3.Vec // corners of a chain, planar
}

// nozzle returns the nozzle's axis, by CONTRACT.
func (c *stackCase) nozzle(azimuth float64) r3.Vec {
	tilt := 0.0
	if c.card.Swivel != nil {
		tilt = c.card.Head.Tilt * math.Pi / 180
	}
	return r3.Vec{X: math.Sin(tilt) * math.Cos(azimuth), Y: math.Sin(tilt) * math.Sin(azimuth), Z: math.Cos(tilt)}
}

// over returns the rule's height over a base, by CONTRACT.
func (c *stackCase) over(normal r3.Vec, azimuth float64) float64 {
	return math.Max(c.zone.LayerHeight/2, c.card.Head.Profile[0][1]*r3.Norm(r3.Cross(c.nozzle(azimuth), normal)))
}

// offset returns the tip seen from the middle of the bead at p, by CONTRACT.
func (c *stackCase) offset(p r2.Vec, azimuth float64) r3.Vec {
	n, d := c.zone.Field.Normal(p), c.nozzle(azimuth)
	return r3.Scale(c.zone.LayerHeight*n.Z/2/r3.Dot(d, n), d)
}

// middle returns the middle of the bead that a pose lays, found by halving the
// error of a guess.
func (c *stackCase) middle(tip r3.Vec, azimuth float64) r3.Vec {
	m := r3.Sub(tip, r3.Vec{Z: c.zone.LayerHeight / 2})
	for range 60 {
		next := r3.Sub(tip, c.offset(flat(m), azimuth))
		m = r3.Scale(0.5, r3.Add(m, next))
	}
	return m
}

// azimuth returns the gradient's azimuth at p, or held where it tells none.
func (c *stackCase) azimuth(p r2.Vec, held float64) float64 {
	if azimuth, ok := c.zone.Field.Azimuth(p); ok {
		return azimuth
	}
	return held
}

// ruled returns, for a bead over p on shell z + f = s, the base under it, and the
// heights half a layer over its middle: before the rule, and the least.
func (c *stackCase) ruled(p r2.Vec, s, azimuth float64) (b, raw, least float64) {
	raw = s - c.zone.Field.At(p)
	b, _ = c.base.at(p.X, p.Y, raw+c.zone.LayerHeight)
	o := c.offset(p, azimuth)
	under, n := c.base.at(p.X+o.X, p.Y+o.Y, raw+c.zone.LayerHeight)
	return b, raw, under + c.over(n, azimuth) + c.zone.LayerHeight/2 - o.Z
}

func drawStack(t *rapid.T) *stackCase {
	c := &stackCase{}
	name := rapid.SampledFrom([]string{"swivel-45", "straight", "swivel-45-wired", "offset"}).Draw(t, "card")
	if name == "offset" {
		card, _ := machine.Builtin("swivel-45")
		own := *card
		swivel := *own.Swivel
		swivel.TipOffset, swivel.Sense, swivel.Zero = [3]float64{2, -1, 0}, -1, 30
		own.Swivel = &swivel
		c.card = &own
	} else {
		c.card, _ = machine.Builtin(name)
	}
	f := drawField(t)
	if rapid.IntRange(0, 5).Draw(t, "level") == 0 {
		f = field.Field{}
	}
	h := 0.2 / math.Cos(f.Angle())
	c.zone = unwarp.Zone{Name: "z", Field: f, LayerHeight: h}
	m := drawBase(t)
	c.base = newPlainBase(m)
	c.zone.Base = zone.NewBase(m)
	c.beads = drawBeads(t, c)
	return c
}

// drawBase draws a box cut once or twice, level, slanting or steep, or plates
// that lie over one another.
func drawBase(t *rapid.T) *mesh.Mesh {
	if rapid.IntRange(0, 3).Draw(t, "plates") == 0 {
		m := &mesh.Mesh{}
		for i := range rapid.IntRange(1, 4).Draw(t, "number") {
			plate(m, drawPlane(t, fmt.Sprint("plate ", i), 5+6*float64(i)),
				r2.Vec{X: rapid.Float64Range(72, 110).Draw(t, "left"), Y: rapid.Float64Range(72, 110).Draw(t, "front")})
		}
		return m
	}
	m := form.Box(r3.Vec{X: 40, Y: 40}, r3.Vec{X: 160, Y: 160, Z: 60})
	for i := range rapid.IntRange(1, 2).Draw(t, "cuts") {
		_, over, err := zone.Cut(m, drawPlane(t, fmt.Sprint("cut ", i), 10))
		if err != nil {
			t.Skip(err)
		}
		m = over
	}
	return m
}

func drawPlane(t *rapid.T, name string, z float64) zone.Plane {
	tilt := rapid.SampledFrom([]float64{0, 0.1, 0.4, 0.8, 1, 1.04, 1.1, 1.3}).Draw(t, name+" tilt")
	sin, cos := math.Sincos(rapid.Float64Range(-4, 4).Draw(t, name+" toward"))
	return zone.Plane{
		Point:  r3.Vec{X: rapid.Float64Range(90, 110).Draw(t, name+" x"), Y: 100, Z: z + rapid.Float64Range(-2, 2).Draw(t, name+" z")},
		Normal: r3.Vec{X: math.Sin(tilt) * cos, Y: math.Sin(tilt) * sin, Z: math.Cos(tilt)},
	}
}

// plate adds a piece of base of 20 x 20 mm seen from above.
func plate(m *mesh.Mesh, p zone.Plane, at r2.Vec) {
	n := int32(len(m.Vertices))
	for _, d := range [4]r2.Vec{{}, {X: 20}, {X: 20, Y: 20}, {Y: 20}} {
		q := r2.Add(at, d)
		z := p.Point.Z - (p.Normal.X*(q.X-p.Point.X)+p.Normal.Y*(q.Y-p.Point.Y))/p.Normal.Z
		m.Vertices = append(m.Vertices, r3.Vec{X: q.X, Y: q.Y, Z: math.Max(z, 0.02)})
	}
	m.Facets = append(m.Facets, [3]int32{n, n + 1, n + 2}, [3]int32{n, n + 2, n + 3})
	m.Origins = append(m.Origins, mesh.CapBase, mesh.CapBase)
}

// drawBeads draws a chain of beads whose shell comes near to the base.
func drawBeads(t *rapid.T, c *stackCase) []r3.Vec {
	first := drawPlace(t, "first")
	second := drawPlace(t, "second")
	k := rapid.Float64Range(0, 1).Draw(t, "near at")
	p := r2.Add(flat(first), r2.Scale(k, r2.Sub(flat(second), flat(first))))
	b, _ := c.base.at(p.X, p.Y, math.Inf(1))
	s := b + c.zone.Field.At(p) + c.zone.LayerHeight*rapid.Float64Range(-0.5, 2).Draw(t, "layers above")
	s = math.Round(s*1e3) / 1e3
	first.Z, second.Z = s, s
	if rapid.IntRange(0, 3).Draw(t, "slopes") == 0 { // a spiral's bead climbs
		second.Z += rapid.Float64Range(0, 0.3).Draw(t, "climb")
	}
	beads := []r3.Vec{first, second}
	for i := range rapid.IntRange(0, 2).Draw(t, "more") {
		next := drawPlace(t, fmt.Sprint("corner ", i))
		next.Z = second.Z
		beads = append(beads, next)
	}
	return beads
}

// eachBead is the filament of a bead, mm.
const eachBead = 10.0

// layChain corrects a chain of beads.
func layChain(t *rapid.T, c *stackCase) ([]readback.Step, unwarp.Stats) {
	var out bytes.Buffer
	corr := unwarp.New(&out, unwarp.Options{Card: c.card, Tolerance: tolerance, TravelSpeed: 100})
	corr.Begin(nil, "")
	corr.Zone(&c.zone)
	for i := 1; i < len(c.beads); i++ {
		corr.Event(&motion.Event{Kind: motion.Move, From: c.beads[i-1], To: c.beads[i], E: eachBead, Feed: 2400})
	}
	stats, err := corr.End("")
	if err != nil {
		t.Fatal(err)
	}
	var steps []readback.Step
	err = readback.Steps(&out, c.card, readback.Span{First: stats.First, Last: stats.Last}, func(s *readback.Step) error {
		steps = append(steps, *s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return steps, stats
}

// The bed rule on caps: against the rule sampled densely, the tip is
// never below it, never farther than the tolerance from the shell or the rule,
// the filament is the rule's integral, and no bead climbs a step of the base.
func TestBedRuleOnStackedBasesAgainstDenseSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawStack(t)
		for i := 1; i < len(c.beads); i++ {
			if r2.Norm(r2.Sub(flat(c.beads[i]), flat(c.beads[i-1]))) < 0.5 {
				t.Skip("short bead")
			}
			if i > 1 && reverses(c.beads[i-2], c.beads[i-1], c.beads[i]) {
				t.Skip("a bead that goes back over the last one: their pieces can't be told apart")
			}
		}
		steps, stats := layChain(t, c)
		bead, ended, laid := 1, false, make([]float64, len(c.beads))
		for i := range steps {
			s := &steps[i]
			if !s.Lays() {
				continue
			}
			for ended || !c.onBead(s, c.beads[bead-1], c.beads[bead]) {
				if bead++; bead == len(c.beads) {
					t.Fatalf("line %d: no bead from %v to %v, corners %v", s.Line, s.From.Tip, s.To.Tip, c.beads)
				}
				ended = false
			}
			laid[bead] += s.E
			ended = r2.Norm(r2.Sub(flat(c.middle(s.To.Tip, s.To.Azimuth)), flat(c.beads[bead]))) < 0.0008 // the corner, rounded
			checkPiece(t, c, s, c.beads[bead-1], c.beads[bead])
		}
		sum := 0.0
		for i := 1; i < len(c.beads); i++ {
			want := c.filament(c.beads[i-1], c.beads[i], 8000)
			sum += want
			if math.Abs(laid[i]-want) > 3e-4*eachBead { // pieces that end in a corner may be told to the next bead
				t.Errorf("bead %d gets %.5f mm, the rule's integral is %.5f; corners %v", i, laid[i], want, c.beads)
			}
		}
		if got := stats.Zones[0].ContactFilament; math.Abs(got-sum) > 1e-4*eachBead*float64(len(c.beads)-1) {
			t.Errorf("contact filament %.5f, the rule's integral is %.5f", got, sum)
		}
	})
}

func reverses(a, b, c r3.Vec) bool {
	u, v := r2.Sub(flat(b), flat(a)), r2.Sub(flat(c), flat(b))
	return r2.Dot(u, v) < -0.99*r2.Norm(u)*r2.Norm(v)
}

func (c *stackCase) onBead(s *readback.Step, a, b r3.Vec) bool {
	for _, pose := range [2]machine.Pose{s.From, s.To} {
		p := flat(c.middle(pose.Tip, pose.Azimuth))
		q := r2.Add(flat(a), r2.Scale(along(p, a, b), r2.Sub(flat(b), flat(a))))
		if r2.Norm(r2.Sub(p, q)) > 0.003 {
			return false
		}
	}
	return true
}

// along returns the parameter of the place on a bead nearest to p.
func along(p r2.Vec, a, b r3.Vec) float64 {
	d := r2.Sub(flat(b), flat(a))
	return math.Min(math.Max(r2.Dot(r2.Sub(p, flat(a)), d)/r2.Norm2(d), 0), 1)
}

func checkPiece(t *rapid.T, c *stackCase, s *readback.Step, a, b r3.Vec) {
	plan := r2.Norm(r2.Sub(flat(s.To.Tip), flat(s.From.Tip)))
	if rise := math.Abs(s.To.Tip.Z - s.From.Tip.Z); rise > tolerance+10*plan {
		t.Fatalf("line %d: a bead climbs %.3f mm within %.4f mm", s.Line, rise, plan)
	}
	const n = 40
	for i := range n + 1 {
		pose := poseBetween(c.card, s, float64(i)/n)
		tip, middle := pose.Tip, c.middle(pose.Tip, pose.Azimuth)
		p := flat(middle)
		if c.zone.Field.Within(p, 0.06) {
			continue // words of a thousandth don't tell the azimuth
		}
		k := along(p, a, b)
		shell := a.Z + k*(b.Z-a.Z)
		off, below, edge := math.Inf(1), math.Inf(1), false
		above := func(q r2.Vec) r3.Vec {
			_, n := c.base.at(q.X, q.Y, shell-c.zone.Field.At(p)+c.zone.LayerHeight)
			return n
		}
		// On the edge of a base the rule of either side is right.
		for _, d := range roundings {
			_, raw, least := c.ruled(r2.Add(p, d), shell, pose.Azimuth)
			have := middle.Z + c.zone.LayerHeight/2
			off = math.Min(off, math.Abs(have-math.Max(raw, least)))
			below = math.Min(below, least-have)
			edge = edge || r3.Norm(r3.Sub(above(r2.Add(flat(tip), d)), above(flat(tip)))) > 1e-9
		}
		if below > 1e-4 && !(edge && below < 0.0015) { // a place rounded by 0.0007 mm on a slope of 60 degrees
			t.Fatalf("line %d: %.5f mm under the rule at %v, %v to %v", s.Line, below, tip, s.From.Tip, s.To.Tip)
		}
		if off > tolerance+1e-6 {
			t.Fatalf("line %d: %.5f mm off at %v", s.Line, off, tip)
		}
	}
}

// roundings are how far a written place may lie from its own: a step of its
// words, a little further, and what a tip off the swivel axis bows out.
var roundings = around(0.0008, 0.003, 0.012)

func around(distances ...float64) []r2.Vec {
	out := []r2.Vec{{}}
	for _, d := range distances {
		out = append(out, r2.Vec{X: d}, r2.Vec{X: -d}, r2.Vec{Y: d}, r2.Vec{Y: -d})
	}
	return out
}

func poseBetween(card *machine.Card, s *readback.Step, k float64) machine.Pose {
	a, b := s.Words[0], s.Words[1]
	return card.Pose(machine.Words{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y), Z: a.Z + k*(b.Z-a.Z), Turn: machine.Turn{a.Turn[0] + k*(b.Turn[0]-a.Turn[0])}})
}

// filament integrates the rule over a bead in n equal parts.
func (c *stackCase) filament(a, b r3.Vec, n int) float64 {
	sum := 0.0
	for i := range n {
		p := r3.Add(a, r3.Scale((float64(i)+0.5)/float64(n), r3.Sub(b, a)))
		base, raw, least := c.ruled(flat(p), p.Z, c.azimuth(flat(p), 0))
		sum += math.Max(0, math.Min(1, (math.Max(raw, least)-base)/c.zone.LayerHeight))
	}
	return eachBead * sum / float64(n)
}

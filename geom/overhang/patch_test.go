package overhang

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// standing is the prism of an outline of (x, z), y from 0 to depth. The facets of
// its two upright faces overlap where the outline isn't seen from its first point;
// nothing here looks at those.
func standing(depth float64, outline ...r2.Vec) *mesh.Mesh {
	return form.Prism(outline, 0, depth).Turn([3]float64{90, 0, 0}).Seat(0, 0)
}

// portal is a beam on two pillars 42 mm apart, 12 deep; ledge and tube are rings.
var (
	portal = []r2.Vec{{X: -29, Y: 0}, {X: -21, Y: 0}, {X: -21, Y: 30}, {X: 21, Y: 30}, {X: 21, Y: 0}, {X: 29, Y: 0}, {X: 29, Y: 36}, {X: -29, Y: 36}}
	tee    = []r2.Vec{{X: -5, Y: 0}, {X: 5, Y: 0}, {X: 5, Y: 30}, {X: 25, Y: 30}, {X: 25, Y: 38}, {X: -25, Y: 38}, {X: -25, Y: 30}, {X: -5, Y: 30}}
	// a portal whose beam reaches 10 past each pillar
	wings  = []r2.Vec{{X: -29, Y: 0}, {X: -21, Y: 0}, {X: -21, Y: 30}, {X: 21, Y: 30}, {X: 21, Y: 0}, {X: 29, Y: 0}, {X: 29, Y: 30}, {X: 39, Y: 30}, {X: 39, Y: 36}, {X: -39, Y: 36}, {X: -39, Y: 30}, {X: -29, Y: 30}}
	inward = []r2.Vec{{X: 20, Y: 0}, {X: 24, Y: 0}, {X: 24, Y: 40}, {X: 20, Y: 40}, {X: 20, Y: 32}, {X: 12, Y: 32}, {X: 12, Y: 28}, {X: 20, Y: 28}}
	outer  = []r2.Vec{{X: 16, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 24}, {X: 20, Y: 24}, {X: 20, Y: 40}, {X: 16, Y: 40}}
)

// tunnel is a block with a round passage of radius r through it along y.
func tunnel(r float64) []r2.Vec {
	out := []r2.Vec{{X: -20, Y: 0}, {X: -r, Y: 0}}
	for i := 0; i <= 64; i++ {
		sin, cos := math.Sincos(math.Pi * (1 - float64(i)/64))
		out = append(out, r2.Vec{X: r * cos, Y: 10 + r*sin})
	}
	return append(out, r2.Vec{X: r, Y: 0}, r2.Vec{X: 20, Y: 0}, r2.Vec{X: 20, Y: 35}, r2.Vec{X: -20, Y: 35})
}

func patchesOf(t testing.TB, o *Unsupported, m *mesh.Mesh, f *field.Field) []Patch {
	t.Helper()
	patches, err := o.Patches(context.Background(), m, f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return patches
}

// Which undersides straight beads can span: by geometry.
func TestBridgesAreToldFromFreeEnds(t *testing.T) {
	crown := 2 * 12 * math.Sin(math.Pi/2-45.5*math.Pi/180) // where a round passage leans out past 45.5 degrees
	for _, c := range []struct {
		name          string
		m             *mesh.Mesh
		bridged, free float64 // mm2
		span          float64 // mm
		patches       int
	}{
		{"beam on two pillars", standing(12, portal...), 42 * 12, 0, 42, 1},
		{"tee", standing(12, tee...), 0, 40 * 12, 0, 2},
		{"beam past its pillars", standing(12, wings...), 42 * 12, 20 * 12, 42, 3},
		{"passage", standing(12, tunnel(12)...), crown * 12 * 1.11, 0, crown, 1}, // 1.11: the arc over its chord
		{"ledge within a tube", ring(inward, 96, r2.Vec{}), math.Pi * (400 - 144), 0, 2 * math.Sqrt(400-144), 1},
		{"ledge round a tube", ring(outer, 96, r2.Vec{}), 0, math.Pi * (900 - 400), 0, 1},
		{"ball", spindle(arc(24), 48, r2.Vec{}), 0, 2 * math.Pi * 144 * (1 - math.Cos(44.5*math.Pi/180)), 0, 1},
	} {
		level := field.Field{}
		over := Find(c.m, &level, 45)
		bridged, area, span := 0.0, 0.0, 0.0
		patches := patchesOf(t, &over, c.m, &level)
		for _, p := range patches {
			bridged, area, span = bridged+p.Bridged, area+p.Area, math.Max(span, p.Span)
			drawn := 0.0
			for _, q := range append(p.Bridges, p.Ends...) {
				drawn += pieceArea(q.Corners)
			}
			if math.Abs(drawn-p.Area) > 1e-6*p.Area {
				t.Errorf("%s: pieces of %g mm2 for a patch of %g", c.name, drawn, p.Area)
			}
		}
		if math.Abs(area-over.Area) > 1e-9*over.Area {
			t.Errorf("%s: patches of %g mm2, %g are unsupported", c.name, area, over.Area)
		}
		if math.Abs(bridged-c.bridged) > 0.03*c.bridged+0.5 || math.Abs(area-bridged-c.free) > 0.03*c.free+0.5 ||
			math.Abs(span-c.span) > 0.05*c.span || len(patches) != c.patches {
			t.Errorf("%s: %.1f mm2 bridged over %.2f mm and %.1f free in %d patches, want %.1f over %.2f and %.1f in %d",
				c.name, bridged, span, area-bridged, len(patches), c.bridged, c.span, c.free, c.patches)
		}
	}
}

// arc is the profile of a ball of radius 12 that stands 2 mm deep in the bed.
func arc(n int) []r2.Vec {
	var out []r2.Vec
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(i)/float64(n) - 0.5))
		out = append(out, r2.Vec{X: math.Max(12*cos, 1e-3), Y: 20 + 12*sin})
	}
	return out
}

func pieceArea(c []r3.Vec) float64 {
	sum := 0.0
	for k := 1; k+1 < len(c); k++ {
		sum += r3.Norm(r3.Cross(r3.Sub(c[k], c[0]), r3.Sub(c[k+1], c[0]))) / 2
	}
	return sum
}

// A zone printed later rests on its base: from one pillar's zone to the other's a
// beam is held, from one side it hangs.
func TestABaseHoldsABridge(t *testing.T) {
	level := field.Field{}
	for _, c := range []struct {
		outline []r2.Vec
		bridged float64
	}{{portal, 42 * 12}, {tee, 0}} {
		_, over, err := zone.Cut(standing(12, c.outline...), zone.Plane{Point: r3.Vec{Z: 30}, Normal: r3.Vec{Z: 1}})
		if err != nil {
			t.Fatal(err)
		}
		o := Find(over, &level, 45)
		bridged := 0.0
		for _, p := range patchesOf(t, &o, over, &level) {
			bridged += p.Bridged
		}
		if math.Abs(bridged-c.bridged) > 1 {
			t.Errorf("%g mm2 bridged, want %g", bridged, c.bridged)
		}
	}
}

// On a ramp along the beam shells climb from one pillar to the other: what is
// unsupported then is held all the same, and no place counts twice.
func TestBridgesInOtherFieldsStayWithinWhatIsUnsupported(t *testing.T) {
	for _, f := range []field.Field{field.NewRamp(math.Pi/6, 0), field.NewRamp(math.Pi/6, math.Pi/2), field.NewCone(math.Pi/4, true, r2.Vec{X: 3}, 0), field.NewCone(math.Pi/5, false, r2.Vec{X: -40, Y: 9}, 1)} {
		for _, outline := range [][]r2.Vec{portal, tee, wings, tunnel(12)} {
			m := standing(12, outline...)
			o := Find(m, &f, 45)
			area := 0.0
			for _, p := range patchesOf(t, &o, m, &f) {
				area += p.Area
				if p.Bridged < 0 || p.Bridged > p.Area+1e-9 || (p.Span > 0) != (p.Bridged > 0) {
					t.Errorf("%+v: %g of %g mm2 bridged over %g mm", f, p.Bridged, p.Area, p.Span)
				}
			}
			if math.Abs(area-o.Area) > 1e-9*(1+o.Area) {
				t.Errorf("%+v: patches of %g mm2, %g are unsupported", f, area, o.Area)
			}
		}
	}
}

func BenchmarkPatches(b *testing.B) {
	m := fine(standing(12, wings...), 3)
	level := field.Field{}
	o := Find(m, &level, 45)
	b.ReportMetric(float64(len(m.Facets)), "facets")
	for b.Loop() {
		patchesOf(b, &o, m, &level)
	}
}

func TestPatchesEndWithTheirContext(t *testing.T) {
	m, level := form.Box(r3.Vec{Z: 5}, r3.Vec{X: 10, Y: 10, Z: 8}), field.Field{}
	o := Find(m, &level, 45)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if patches, err := o.Patches(ctx, m, &level, nil); !errors.Is(err, context.Canceled) || patches != nil {
		t.Errorf("%d patches, %v", len(patches), err)
	}
}

package planner

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"conewright/geom/polygon"
)

// kinds sums the length of beads by kind.
func kinds(l *Layer) map[Kind]float64 {
	out := map[Kind]float64{}
	for _, b := range l.Beads {
		out[b.Kind] += polygon.PathLength(b.Path, b.Closed)
	}
	return out
}

func TestWallsKeepTheirDistance(t *testing.T) {
	o := testOptions()
	m := planPrism(t, Region{box(centre, 20, 20)}, 1, o)
	var depths []float64
	for _, b := range m.Layers[0].Beads {
		if b.Kind == Wall {
			depths = append(depths, m.Layers[0].Region.Distance(b.Path[0]))
		}
	}
	want := []float64{m.Options.LineWidth/2 + m.Options.Pitch, m.Options.LineWidth / 2} // inner first
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 2e-4 })
	if diff := cmp.Diff(want, depths, near); diff != "" {
		t.Error(diff)
	}
}

func TestCapsCloseWhatIsOpen(t *testing.T) {
	o := testOptions()
	wide, narrow := Region{box(centre, 20, 20)}, Region{box(off(-5, 0), 10, 20)}
	var sections []Region
	for i := range 30 {
		if i < 15 {
			sections = append(sections, wide)
		} else {
			sections = append(sections, narrow)
		}
	}
	o, _ = o.filled()
	m, err := planSections(context.Background(), sections, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.Layers {
		k := kinds(&m.Layers[i])
		solid := i < o.Caps || i >= 30-o.Caps
		step := i < 15 && i >= 15-o.Caps // half of it lies open
		switch {
		case solid && (k[Cap] == 0 || k[Fill] > 0):
			t.Errorf("layer %d isn't solid: %v", i, k)
		case step && (k[Cap] == 0 || k[Fill] == 0):
			t.Errorf("layer %d should be half solid: %v", i, k)
		case !solid && !step && k[Cap] > 0:
			t.Errorf("layer %d has a cap under cover: %v", i, k)
		}
	}
}

// Solid rings and strips of any width hold what they should: their beads are
// stretched to fit, not dropped.
func TestNarrowSolidAreasAreFilled(t *testing.T) {
	for _, pattern := range []string{PatternRings, PatternLines} {
		for pitches := 1.0; pitches < 6; pitches += 0.23 {
			o, err := testOptions().filled()
			if err != nil {
				t.Fatal(err)
			}
			o.Pattern = pattern
			r := Region{circle(centre, 12, 150), hole(circle(centre, 12-pitches*o.Pitch, 150))}
			beads, err := fillSolid(0, r, &o)
			if err != nil {
				t.Fatal(err)
			}
			m := Motion{Layers: []Layer{{Beads: beads}}, Options: o}
			if got, want := m.volume(), r.Area()*o.LayerHeight; math.Abs(got/want-1) > 0.08 {
				t.Errorf("%s: an annulus %.2f pitches wide is filled by %.0f %%", pattern, pitches, 100*got/want)
			}
		}
	}
}

// coverings by van Herk's scheme against the obvious way.
func TestCoveringsAgreeWithTheSlowWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 14).Draw(t, "layers")
		o := testOptions()
		o.Caps, o.Pattern = rapid.IntRange(1, 5).Draw(t, "caps"), PatternRings
		regions := make([]Region, n)
		for i := range regions {
			x := rapid.Float64Range(-3, 3).Draw(t, "x")
			y := rapid.Float64Range(-3, 3).Draw(t, "y")
			regions[i] = Region{box(off(x, y), 10, 8)}
		}
		got, err := coverings(context.Background(), regions, o, func(float64) {})
		if err != nil {
			t.Fatal(err)
		}
		for i := range regions {
			common := func(from, to int) float64 {
				lo, hi := r2.Vec{X: -1e9, Y: -1e9}, r2.Vec{X: 1e9, Y: 1e9}
				for j := from; j <= to; j++ {
					if j < 0 || j >= n {
						hi = lo
					} else if j != i {
						a, b := extent(regions[j])
						lo = r2.Vec{X: math.Max(lo.X, a.X), Y: math.Max(lo.Y, a.Y)}
						hi = r2.Vec{X: math.Min(hi.X, b.X), Y: math.Min(hi.Y, b.Y)}
					}
				}
				return math.Max(0, hi.X-lo.X) * math.Max(0, hi.Y-lo.Y)
			}
			want := common(i-o.Caps, i+o.Caps)
			if a := got[i].buried.Area(); math.Abs(a-want) > 0.01 {
				t.Fatalf("layer %d of %d: %v mm2 covered, want %v", i, n, a, want)
			}
			// What lies under a roof is what isn't covered by some layers more, the
			// first layer over it left out: it is buried by another of them.
			further := want - common(i-o.Caps, i+o.Caps+roofLayers)
			if a := got[i].roofed.Area(); a < further-0.01 && roofLayers <= o.Caps {
				t.Fatalf("layer %d of %d: %v mm2 under a roof, want %v", i, n, a, further)
			}
		}
	})
}

func TestSparseFillHoldsItsShare(t *testing.T) {
	for _, pattern := range []string{PatternRings, PatternLines, PatternSpokes, PatternGrid} {
		for _, fill := range []float64{0.1, 0.25, 0.5} {
			o := testOptions()
			o.Pattern, o.Fill, o.Walls, o.Caps = pattern, fill, 1, 0
			m := planPrism(t, Region{circle(centre, 30, 400)}, 1, o)
			got := kinds(&m.Layers[0])[Fill] * m.Options.Pitch
			r := 30 - m.Options.LineWidth/2 - m.Options.Pitch/2
			if share := got / (math.Pi * r * r); math.Abs(share/fill-1) > 0.12 {
				t.Errorf("%s: %.3f of the inside is filled, want %v", pattern, share, fill)
			}
		}
	}
}

func TestClosedBeadsTurnByTurns(t *testing.T) {
	m := planPrism(t, Region{circle(centre, 8, 90), hole(circle(centre, 4, 50))}, 6, testOptions())
	left, any := false, false
	for _, l := range m.Layers {
		for _, b := range l.Beads {
			if !b.Closed {
				continue
			}
			turnsLeft := polygon.SignedArea(b.Path) > 0
			if any && turnsLeft == left {
				t.Fatalf("z %v: two closed beads turn the same way", l.Z)
			}
			left, any = turnsLeft, true
		}
	}
}

func TestSeams(t *testing.T) {
	azimuths := func(seam string) (out []float64) {
		o := testOptions()
		o.Seam, o.SeamAzimuth = seam, 2
		for _, l := range planPrism(t, Region{circle(centre, 4, 90)}, 12, o).Layers {
			for _, b := range l.Beads {
				if b.Closed && b.Kind == Wall {
					v := r2.Sub(b.Path[0], centre)
					out = append(out, math.Atan2(v.Y, v.X))
				}
			}
		}
		return out
	}
	for _, a := range azimuths(SeamLine) {
		if math.Abs(a-2) > 1e-3 {
			t.Errorf("a seam lies at azimuth %v, want 2", a)
		}
	}
	// The golden angle leaves no two of twelve seams nearer than 2 pi / 12 / golden
	// ratio^2 (three-distance theorem, bound from memory).
	spread := azimuths(SeamSpread)
	for i := 0; i < len(spread); i += 2 {
		for j := 0; j < i; j += 2 {
			if d := math.Abs(math.Remainder(spread[i]-spread[j], 2*math.Pi)); d < 0.19 {
				t.Errorf("seams of layers %d and %d are %.3f rad apart", j/2, i/2, d)
			}
		}
	}
}

func TestThinFeaturesArePrinted(t *testing.T) {
	o := testOptions()
	w, err := o.filled()
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []float64{0.55, 0.7, 1, 1.3, 1.7, 2, 2.5, 3, 5} {
		m := planPrism(t, Region{box(centre, 15, width*w.LineWidth)}, 1, o)
		l := m.Layers[0]
		list := strands(&l, &m.Options, 0.2)
		lo, hi := extent(l.Region)
		if share := bareShare(l.Region, list, newStrandGrid(list, lo, hi), m.Options.LineWidth-m.Options.Pitch); share > 0.1 {
			t.Errorf("%.2f line widths: %.1f %% is bare", width, 100*share)
		}
	}
	pin := planPrism(t, Region{circle(centre, 0.45*w.LineWidth, 24)}, 1, o)
	if len(pin.Layers[0].Beads) != 1 {
		t.Errorf("a pin thinner than a line gets %d beads", len(pin.Layers[0].Beads))
	}
}

func TestPlanIsTheSameEachTime(t *testing.T) {
	o := testOptions()
	o.Caps = 1
	r := shapes()[6].region
	a, b := planPrism(t, r, 4, o), planPrism(t, r, 4, o)
	if diff := cmp.Diff(a, b, cmp.AllowUnexported(Bead{})); diff != "" {
		t.Error(diff)
	}
}

func TestPlanEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	o, _ := testOptions().filled()
	steps := 0
	_, err := planSections(ctx, vase(400, 100), o, func(float64) {
		if steps++; steps == 10 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	if steps > 100 {
		t.Errorf("%d steps after the cancel", steps)
	}
}

func TestProgressRisesToOne(t *testing.T) {
	o, _ := testOptions().filled()
	last := 0.0
	_, err := planSections(context.Background(), vase(8, 60), o, func(done float64) {
		if done < last-1e-9 || done > 1+1e-9 {
			t.Errorf("progress went from %v to %v", last, done)
		}
		last = done
	})
	if err != nil || last < 1-1e-9 {
		t.Errorf("ended at %v, error %v", last, err)
	}
}

func TestBadOptionsAreNamed(t *testing.T) {
	for name, change := range map[string]func(*Options){
		"layer height": func(o *Options) { o.LayerHeight = 0 },
		"bead area":    func(o *Options) { o.BeadArea = math.NaN() },
		"fill":         func(o *Options) { o.Fill = 1.5 },
		"walls":        func(o *Options) { o.Walls = -1 },
		"caps":         func(o *Options) { o.Caps = -1 },
		"pattern":      func(o *Options) { o.Pattern = "stripes" },
		"seam":         func(o *Options) { o.Seam = "somewhere" },
		"speed":        func(o *Options) { o.Speed = math.Inf(1) },
		"pitch":        func(o *Options) { o.Pitch = 0.5 },
	} {
		o := testOptions()
		change(&o)
		if _, err := o.filled(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestSmallLayersTakeTheirTime(t *testing.T) {
	o := testOptions()
	o.LeastSeconds, o.SlowLayers = 8, 2
	m := planPrism(t, Region{circle(centre, 4, 90)}, 12, o)
	for i := range m.Layers {
		l := &m.Layers[i]
		beads, travels := l.lengths()
		speed := m.beadSpeed(l)
		if seconds := beads/speed + travels/o.TravelSpeed; seconds < 8-1e-9 && speed > leastSpeed {
			t.Errorf("layer %d takes %.1f s", i, seconds)
		}
		if i < 2 && speed > o.Speed/2 {
			t.Errorf("layer %d is laid at %v mm/s", i, speed)
		}
	}
}

// The first and the last ring of a solid ring of many short edges are whole: each was
// cut at every corner into as many beads as there are edges.
func TestRingsAlongChordsAreWhole(t *testing.T) {
	o := testOptions()
	o.Fill = 1
	m := planPrism(t, Region{circle(o.Axis, 14, 48), hole(circle(o.Axis, 5, 48))}, 1, o)
	for _, b := range m.Layers[0].Beads {
		if !b.Closed {
			t.Fatalf("a bead of %d points is open, of %d beads: all are rings", len(b.Path), len(m.Layers[0].Beads))
		}
	}
}

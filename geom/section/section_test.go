package section_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/section"

	"gonum.org/v1/gonum/spatial/r2"
)

// ringProfile is a square of side 2 centred 5 from the axis.
var ringProfile = []r2.Vec{{X: 4, Y: 0}, {X: 6, Y: 0}, {X: 6, Y: 2}, {X: 4, Y: 2}}

func TestSectionOfARing(t *testing.T) {
	m := form.Turned(ringProfile, 256)
	if v := m.Volume(); v < 0 {
		t.Fatalf("volume %g", v)
	}
	sections, err := section.Sections(context.Background(), m, []float64{-1, 0, 0.5, 1.5, 2, 3})
	if err != nil {
		t.Fatal(err)
	}
	for i, contours := range []int{0, 0, 2, 2, 2, 0} {
		if got := len(sections[i].Contours); got != contours || sections[i].Open != 0 {
			t.Errorf("at %g: %d contours, %d open, want %d", sections[i].Z, got, sections[i].Open, contours)
		}
	}
	s := sections[2]
	if want := math.Pi * (36 - 16); math.Abs(s.Area()-want) > 1e-3*want {
		t.Errorf("area %g, want %g", s.Area(), want)
	}
	if c := s.Centroid(); r2.Norm(c) > 1e-9 {
		t.Errorf("centroid %v", c)
	}
	for _, p := range []struct {
		at   r2.Vec
		want bool
	}{{r2.Vec{X: 5}, true}, {r2.Vec{}, false}, {r2.Vec{X: -5}, true}, {r2.Vec{Y: 7}, false}} {
		if got := s.Holds(p.at); got != p.want {
			t.Errorf("holds %v: %v", p.at, got)
		}
	}
}

// Theorem of Pappus and Guldin: the volume of a solid of revolution is the area
// of its profile times the way of the profile's centroid. The areas of many
// sections must add up to it.
func TestSectionsAddUpToTheVolumeOfPappusAndGuldin(t *testing.T) {
	m := form.Turned([]r2.Vec{{X: 3, Y: 0}, {X: 9, Y: 1}, {X: 5, Y: 7}}, 512)
	const n = 500
	var heights []float64
	for i := range n {
		heights = append(heights, 7*(float64(i)+0.5)/n)
	}
	sections, err := section.Sections(context.Background(), m, heights)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i := range sections {
		sum += sections[i].Area() * 7 / n
	}
	area := 0.5 * math.Abs((9-3)*(7-0)-(5-3)*(1-0))
	want := area * 2 * math.Pi * (3 + 9 + 5) / 3
	if math.Abs(sum-want) > 2e-4*want {
		t.Errorf("sections add up to %g, Pappus and Guldin say %g", sum, want)
	}
}

func TestOpenMeshLeavesChainsOut(t *testing.T) {
	m := form.Turned(ringProfile, 64)
	m.Facets = m.Facets[8*10:]
	sections, err := section.Sections(context.Background(), m, []float64{1})
	if err != nil {
		t.Fatal(err)
	}
	if s := sections[0]; s.Open != 2 || len(s.Contours) != 0 {
		t.Errorf("%d open, %d closed", s.Open, len(s.Contours))
	}
}

func TestCurvesLieOnTheirShells(t *testing.T) {
	m := form.Turned(ringProfile, 256)
	f := field.NewCone(math.Pi/6, false, r2.Vec{}, 0)
	curves, err := section.Curves(context.Background(), m, &f, []float64{3, 4})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range curves {
		if len(c.Lines) != 2 {
			t.Errorf("shell %g meets the surface in %d lines", c.C, len(c.Lines))
		}
		for _, l := range c.Lines {
			for _, p := range l {
				if off := math.Abs(p.Z + f.At(r2.Vec{X: p.X, Y: p.Y}) - c.C); off > 2e-3 {
					t.Fatalf("%v lies %g off shell %g", p, off, c.C)
				}
			}
		}
	}
}

func TestCancelledSweepSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := section.Sections(ctx, form.Turned(ringProfile, 8), []float64{1}); err == nil {
		t.Error("no error")
	}
}

// 1,000 sections of a 100,000-facet mesh in 0.6 s.
func BenchmarkThousandSections(b *testing.B) {
	var profile []r2.Vec
	for i := range 250 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 250)
		profile = append(profile, r2.Vec{X: 30 + 20*c, Y: 20 + 20*s})
	}
	m := form.Turned(profile, 200)
	var heights []float64
	for i := range 1000 {
		heights = append(heights, 40*(float64(i)+0.5)/1000)
	}
	b.Logf("%d facets", len(m.Facets))
	for b.Loop() {
		if _, err := section.Sections(context.Background(), m, heights); err != nil {
			b.Fatal(err)
		}
	}
}

func Example() {
	m := form.Turned(ringProfile, 128)
	sections, err := section.Sections(context.Background(), m, []float64{1})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := sections[0]
	fmt.Printf("%d contours, %.1f mm2\n", len(s.Contours), s.Area())
	// Output: 2 contours, 62.8 mm2
}

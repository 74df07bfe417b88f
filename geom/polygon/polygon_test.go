package polygon_test

import (
	"io/fs"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

func square(x, y, half float64) []r2.Vec {
	return []r2.Vec{{X: x - half, Y: y - half}, {X: x + half, Y: y - half}, {X: x + half, Y: y + half}, {X: x - half, Y: y + half}}
}

func reversed(c []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(c))
	for i, p := range c {
		out[len(c)-1-i] = p
	}
	return out
}

// Areas of squares with a hole, added, cut and grown, are known by hand.
func TestAreasByHand(t *testing.T) {
	ring := polygon.Region{square(0, 0, 10), reversed(square(0, 0, 4))}
	must := func(r polygon.Region, err error) polygon.Region {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for name, c := range map[string]struct {
		got, want float64
	}{
		"ring":         {ring.Area(), 400 - 64},
		"union":        {must(polygon.Union(polygon.Region{square(0, 0, 1), square(1, 0, 1)})).Area(), 6},
		"intersection": {must(polygon.Intersect(ring, polygon.Region{square(0, 0, 5)})).Area(), 100 - 64},
		"difference":   {must(polygon.Subtract(ring, polygon.Region{square(0, 0, 5)})).Area(), 400 - 100},
		"inset":        {must(polygon.Inset(polygon.Region{square(0, 0, 10)}, 1)).Area(), 18 * 18},
		"sharp growth": {must(polygon.Grow(polygon.Region{square(0, 0, 10)}, 1)).Area(), 22 * 22},
		"round growth": {must(polygon.GrowRound(polygon.Region{square(0, 0, 10)}, 1)).Area(), 400 + 80 + math.Pi},
	} {
		if math.Abs(c.got-c.want) > 0.02 {
			t.Errorf("%s: area %.4f, want %.4f", name, c.got, c.want)
		}
	}
	if n := len(must(polygon.Union(polygon.Region{square(0, 0, 10), reversed(square(0, 0, 4)), square(0, 0, 2)})).Components()); n != 2 {
		t.Errorf("a square in a ring's hole: %d components, want 2", n)
	}
}

// A point in the plane is in a union exactly where it is in one of the parts.
func TestBooleansAgreeWithPoints(t *testing.T) {
	rnd := rand.New(rand.NewSource(5))
	for range 40 {
		blob := func() polygon.Region {
			var c []r2.Vec
			x, y := 4*rnd.Float64(), 4*rnd.Float64()
			for k := range 9 {
				s, co := math.Sincos(2 * math.Pi * float64(k) / 9)
				r := 1 + 3*rnd.Float64()
				c = append(c, r2.Vec{X: x + r*co, Y: y + r*s})
			}
			return polygon.Region{c}
		}
		a, b := blob(), blob()
		sum, err1 := polygon.Union(append(append(polygon.Region{}, a...), b...))
		common, err2 := polygon.Intersect(a, b)
		rest, err3 := polygon.Subtract(a, b)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		for range 200 {
			p := r2.Vec{X: 12*rnd.Float64() - 4, Y: 12*rnd.Float64() - 4}
			if math.Min(a.Distance(p), b.Distance(p)) < 0.01 {
				continue // rounding decides
			}
			inA, inB := a.Contains(p), b.Contains(p)
			if sum.Contains(p) != (inA || inB) || common.Contains(p) != (inA && inB) || rest.Contains(p) != (inA && !inB) {
				t.Fatalf("%v: in a %v, in b %v; union %v, common %v, rest %v", p, inA, inB, sum.Contains(p), common.Contains(p), rest.Contains(p))
			}
		}
	}
}

// The library is used through this package alone; tests may hold it against us.
func TestOneDoorToTheLibrary(t *testing.T) {
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") ||
			filepath.Dir(path) == filepath.Join("..", "polygon") || path == "clip.go" || filepath.Base(filepath.Dir(path)) == "polygon" {
			return err
		}
		text, err := os.ReadFile(path)
		if strings.Contains(string(text), `"github.com/ctessum/go.clipper"`) {
			t.Errorf("%s imports the polygon library: use conewright/geom/polygon", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

package clip_test

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"testing"

	library "github.com/ctessum/go.clipper"

	"conewright/geom/polygon/clip"
)

// The library is the slow twin: results are the same to the last point, and so is
// which input can't be swept.

var operations = map[clip.Operation]library.ClipType{
	clip.Union: library.CtUnion, clip.Intersection: library.CtIntersection, clip.Difference: library.CtDifference,
}

func TestCombineGivesTheLibrarysPoints(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	for round := range rounds(t) {
		kind := kinds[round%len(kinds)]
		a, b := kind.make(random), kind.make(random)
		for op, theirs := range operations {
			name := fmt.Sprintf("%s, round %d, operation %d", kind.name, round, op)
			got, gotErr := try(func() ([]clip.Path, bool) { return clip.Combine(op, a, b) })
			want, wantErr := try(func() ([]clip.Path, bool) {
				c := library.NewClipper(library.IoNone)
				c.AddPaths(toLibrary(a), library.PtSubject, true)
				c.AddPaths(toLibrary(b), library.PtClip, true)
				out, ok := c.Execute1(theirs, library.PftNonZero, library.PftNonZero)
				return fromLibrary(out), ok
			})
			compare(t, name, got, want, gotErr, wantErr)
		}
	}
}

func TestOffsetGivesTheLibrarysPoints(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	for round := range rounds(t) {
		kind := kinds[round%len(kinds)]
		a, _ := clip.Combine(clip.Union, kind.make(random), nil)
		d := (2*random.Float64() - 1) * math.Pow(10, 1+3*random.Float64())
		for corner, theirs := range map[clip.Corner]library.JoinType{clip.Round: library.JtRound, clip.Sharp: library.JtMiter} {
			name := fmt.Sprintf("%s, round %d, corner %d, by %g", kind.name, round, corner, d)
			got, gotErr := try(func() ([]clip.Path, bool) { return clip.Offset(a, d, corner, 30), true })
			want, wantErr := try(func() ([]clip.Path, bool) {
				co := library.NewClipperOffset()
				co.ArcTolerance = 30
				co.AddPaths(toLibrary(a), theirs, library.EtClosedPolygon)
				return fromLibrary(co.Execute(d)), true
			})
			compare(t, name, got, want, gotErr, wantErr)
		}
	}
}

func rounds(t *testing.T) int {
	if testing.Short() {
		return 300
	}
	return 5000
}

// kinds are of shapes: smooth, star-like and crossing themselves, on a coarse grid
// (shared edges, shared points, level edges), and boxes side by side.
var kinds = []struct {
	name string
	make func(*rand.Rand) []clip.Path
}{
	{"rings", func(r *rand.Rand) []clip.Path { return many(r, 4, ring) }},
	{"stars", func(r *rand.Rand) []clip.Path { return many(r, 3, star) }},
	{"coarse grid", func(r *rand.Rand) []clip.Path { return many(r, 3, coarse) }},
	{"boxes", func(r *rand.Rand) []clip.Path { return many(r, 12, box) }},
}

func many(r *rand.Rand, most int, one func(*rand.Rand) clip.Path) (out []clip.Path) {
	for range 1 + r.Intn(most) {
		p := one(r)
		if r.Intn(4) == 0 {
			slices.Reverse(p)
		}
		out = append(out, p)
	}
	return out
}

func ring(r *rand.Rand) (p clip.Path) {
	n := 20 + r.Intn(200)
	x, y, size, waves := r.Float64()*1e5, r.Float64()*1e5, 1e3+r.Float64()*1e5, float64(2+r.Intn(9))
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		s := size * (1 + 0.4*math.Sin(waves*a))
		p = append(p, clip.Point{X: int64(x + s*math.Cos(a)), Y: int64(y + s*math.Sin(a))})
	}
	return p
}

func star(r *rand.Rand) (p clip.Path) {
	for range 3 + r.Intn(40) {
		p = append(p, clip.Point{X: r.Int63n(200_000) - 100_000, Y: r.Int63n(200_000) - 100_000})
	}
	return p
}

func coarse(r *rand.Rand) (p clip.Path) {
	for range 3 + r.Intn(20) {
		p = append(p, clip.Point{X: 1000 * r.Int63n(8), Y: 1000 * r.Int63n(8)})
	}
	return p
}

func box(r *rand.Rand) clip.Path {
	x, y, w, h := 1000*r.Int63n(10), 1000*r.Int63n(10), 1000*(1+r.Int63n(4)), 1000*(1+r.Int63n(4))
	return clip.Path{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

// try turns panics into an error: which one doesn't matter.
func try(f func() ([]clip.Path, bool)) (out []clip.Path, failed bool) {
	defer func() {
		if recover() != nil {
			out, failed = nil, true
		}
	}()
	out, ok := f()
	return out, !ok
}

func compare(t *testing.T, name string, got, want []clip.Path, gotFailed, wantFailed bool) {
	t.Helper()
	if gotFailed != wantFailed {
		t.Fatalf("%s: failed %v, the library %v", name, gotFailed, wantFailed)
	}
	if gotFailed {
		return
	}
	if !slices.EqualFunc(got, want, func(a, b clip.Path) bool { return slices.Equal(a, b) }) {
		t.Fatalf("%s:\n got %v\nwant %v", name, got, want)
	}
}

func toLibrary(paths []clip.Path) (out library.Paths) {
	for _, p := range paths {
		var q library.Path
		for _, v := range p {
			q = append(q, library.NewIntPoint(library.CInt(v.X), library.CInt(v.Y)))
		}
		out = append(out, q)
	}
	return out
}

func fromLibrary(paths library.Paths) (out []clip.Path) {
	for _, p := range paths {
		var q clip.Path
		for _, v := range p {
			q = append(q, clip.Point{X: int64(v.X), Y: int64(v.Y)})
		}
		out = append(out, q)
	}
	return out
}

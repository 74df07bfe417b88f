package clip_test

import (
	"math/rand"
	"testing"

	library "github.com/ctessum/go.clipper"

	"conewright/geom/polygon/clip"
)

// manyRings is like a layer of a part of many holes.
func manyRings() (out []clip.Path) {
	random := rand.New(rand.NewSource(3))
	for i := range 60 {
		p := ring(random)
		for k := range p {
			p[k].X += int64(i%8) * 250_000
			p[k].Y += int64(i/8) * 250_000
		}
		out = append(out, p)
	}
	return out
}

func BenchmarkOffset(b *testing.B) {
	a, _ := clip.Combine(clip.Union, manyRings(), nil)
	b.Run("clip", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			clip.Offset(a, -2000, clip.Round, 30)
		}
	})
	b.Run("library", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			co := library.NewClipperOffset()
			co.ArcTolerance = 30
			co.AddPaths(toLibrary(a), library.JtRound, library.EtClosedPolygon)
			co.Execute(-2000)
		}
	})
}

package clearance

import (
	"context"
	"math"
	"runtime"
	"testing"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
)

// BenchmarkMillionMoves checks an outward cone of full rings, about 40 mm wide
// and 60 mm high, in moves of 0.6 mm.
func BenchmarkMillionMoves(b *testing.B) { benchmark(b, 1_000_000) }

func BenchmarkFiftyThousandMoves(b *testing.B) { benchmark(b, 50_000) }

func benchmark(b *testing.B, moves int) {
	const shells = 3
	s := newScene(b, tilted())
	axis := r2.Vec{X: 120, Y: 100}
	s.f = field.NewCone(math.Pi/4, false, axis, 0)
	s.disc(axis, 0.5, 20, 20.5, shells)
	h := beadHeight * math.Sqrt2
	for k := shells; len(s.steps) < moves; k++ {
		s.disc(axis, 0.5, 20, 20.5+float64(k)*h, 1)
	}
	b.ResetTimer()
	for b.Loop() {
		r, err := Check(context.Background(), s.o, MotionOf(s.steps), nil)
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Collisions) > 0 {
			b.Fatal(r.Collisions[0])
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.Sys)/(1<<20), "MiB-of-system")
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(s.steps)), "ns/move")
}

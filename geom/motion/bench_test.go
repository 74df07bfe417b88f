package motion

import (
	"bytes"
	"context"
	"math"
	"testing"
)

// plainFile is a planar file of G1 lines as planners write them.
func plainFile(size int) []byte {
	var b []byte
	e := 0.0
	for i := 0; len(b) < size; i++ {
		a := float64(i) * 0.37
		e += 0.0321
		b = append(b, "G1"...)
		b = AppendWord(b, 'X', 125+40*math.Cos(a), 3)
		b = AppendWord(b, 'Y', 105+40*math.Sin(a*1.3), 3)
		b = AppendWord(b, 'E', e, 5)
		if i%50 == 0 {
			b = AppendFeed(b, 2400)
		}
		b = append(b, '\n')
	}
	return b
}

func BenchmarkRead(b *testing.B) {
	data := plainFile(17 << 20)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(context.Background(), bytes.NewReader(data), ReadOptions{}, func(*Event) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAppendNumber(b *testing.B) {
	var buf [64]byte
	v := 123.456789
	for b.Loop() {
		AppendNumber(buf[:0], v, 3)
		v += 0.001
	}
}

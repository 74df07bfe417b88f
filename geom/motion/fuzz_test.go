package motion

import (
	"bytes"
	"context"
	"math"
	"testing"
)

// FuzzRead: any input ends in events with finite numbers.
func FuzzRead(f *testing.F) {
	for _, c := range cases {
		f.Add([]byte(c.text))
	}
	f.Add([]byte("G1 X7 Y7\nG2 X10 Y16 I3 J4 E1\nG18 G3 X1 Z1 R5\nG93 G1 X2 F3"))
	f.Fuzz(func(t *testing.T, data []byte) {
		n := 0
		_, err := Read(context.Background(), bytes.NewReader(data), ReadOptions{Swivel: 'C', Tolerance: 0.05}, func(e *Event) error {
			n++
			for _, v := range [...]float64{e.From.X, e.From.Y, e.From.Z, e.To.X, e.To.Y, e.To.Z, e.E, e.Feed, e.ToSwivel} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%v in line %d", v, e.Line)
				}
			}
			if e.Line < 1 || (e.Kind == Problem) != (e.Code == CodeUnknownWord) {
				t.Fatalf("%+v", e)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}

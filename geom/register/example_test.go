package register

import (
	"context"
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func ExampleFind() {
	block := []r2.Vec{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 10}, {X: 0, Y: 10}}
	mesh := loft(ring{0, block}, ring{4, block})
	file := planarJob{m: mesh, h: 0.2, d: dialect{walls: 2, width: 0.45, skirts: 1}, shift: r3.Vec{X: 100, Y: 50}}.make()
	open := func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(string(file.text))), nil }
	r, err := Find(context.Background(), open, mesh, Options{LayerHeight: 0.2, LineWidth: 0.45})
	fmt.Printf("%.2f %.2f %.2f off part %d %v\n", r.Offset.X, r.Offset.Y, r.Offset.Z, r.OffPart, err)
	// Output: 100.00 50.00 0.00 off part 4 <nil>
}

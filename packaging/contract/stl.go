package contract

import (
	"encoding/binary"
	"fmt"
	"math"
)

type triangle [3][3]float64

func readSTL(data []byte) ([]triangle, error) {
	if len(data) < 84 {
		return nil, fmt.Errorf("only %d bytes", len(data))
	}
	n := int(binary.LittleEndian.Uint32(data[80:]))
	if len(data) != 84+50*n {
		return nil, fmt.Errorf("%d facets need %d bytes, there are %d", n, 84+50*n, len(data))
	}
	m := make([]triangle, n)
	for i := range m {
		at := data[84+50*i+12:]
		for j := range 9 {
			m[i][j/3][j%3] = float64(math.Float32frombits(binary.LittleEndian.Uint32(at[4*j:])))
		}
	}
	return m, nil
}

// openEdges counts directed edges that have no partner the other way.
func openEdges(m []triangle) int {
	count := map[[2][3]float64]int{}
	for _, t := range m {
		for i := range t {
			a, b := t[i], t[(i+1)%3]
			if count[[2][3]float64{b, a}] > 0 {
				count[[2][3]float64{b, a}]--
			} else {
				count[[2][3]float64{a, b}]++
			}
		}
	}
	open := 0
	for _, n := range count {
		open += n
	}
	return open
}

// det is six times the volume between a triangle and the origin.
func det(t triangle) float64 {
	a, b, c := t[0], t[1], t[2]
	return a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])
}

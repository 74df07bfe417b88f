package mesh

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// matrix is an affine map of row vectors: p' = p M + d, rows 0..2 are M and
// row 3 is d (3MF Core Specification 1.3, section 3.3).
type matrix [4][3]float64

var unmoved = matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

// parseMatrix reads the twelve numbers of a transform, row by row. Numbers are
// held with the precision of the file's coordinates.
func parseMatrix(text string) (t matrix, ok bool) {
	n := 0
	for word := range strings.FieldsSeq(text) {
		x, err := strconv.ParseFloat(word, 32)
		if err != nil || n == 12 {
			return t, false
		}
		t[n/3][n%3] = x
		n++
	}
	return t, n == 12
}

func (t matrix) row(i int) r3.Vec { return r3.Vec{X: t[i][0], Y: t[i][1], Z: t[i][2]} }

// linear returns v M.
func (t matrix) linear(v r3.Vec) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(v.X, t.row(0)), r3.Scale(v.Y, t.row(1))), r3.Scale(v.Z, t.row(2)))
}

func (t matrix) apply(v r3.Vec) r3.Vec { return r3.Add(t.linear(v), t.row(3)) }

// then returns the map that does t first, u second.
func (t matrix) then(u matrix) matrix {
	var out matrix
	for i := range out {
		v := u.linear(t.row(i))
		if i == 3 {
			v = u.apply(t.row(i))
		}
		out[i] = [3]float64{v.X, v.Y, v.Z}
	}
	return out
}

func (t matrix) determinant() float64 {
	d := r3.Dot(t.row(0), r3.Cross(t.row(1), t.row(2)))
	if math.IsNaN(d) { // its vertices will be refused
		return 0
	}
	return d
}

package register

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/message"
)

// likeness is the small scale and turn that carry the mesh best onto the beads
// beyond the fit. A file that was scaled or turned a little may stay within
// MaxOutline; its part would still come out wrong.
type likeness struct {
	scale, turn       float64 // as shares of 1; radians
	byScale, byTurn   float64 // greatest move of the outline by each, mm
	without, withBoth float64 // root mean square of the samples' misfit, mm
}

const (
	// likeMove is the least move of the outline by a scale or a turn that is
	// worth refusing, mm: corrections of a planner's own (a first layer drawn in,
	// a wall moved by a few hundredths) stay below it.
	likeMove = 0.12
	// likeShare is the part of the misfit that must be left once the scale and
	// the turn are taken off, at most, for them to be its reason.
	likeShare = 0.5
	// likeWindow is how far from the outline beads are looked for, mm.
	likeWindow = 0.6
)

// reason names the scale or the turn that explains most of the misfit; empty for
// none.
func (l *likeness) reason() message.Text {
	switch {
	case l.withBoth > likeShare*l.without || max(l.byScale, l.byTurn) < likeMove:
		return message.Text{}
	case l.byScale >= l.byTurn:
		percent := 100 * (1 + l.scale)
		return message.New("it is the mesh at %.1f %% of its size, or its outline is moved all round", percent)
	}
	degrees := l.turn * 180 / math.Pi
	return message.New("it is the mesh turned by %.2f degrees", degrees)
}

// likeness solves for a move, a scale about the mesh's foot and a turn at once:
// one round of the fitter's linear system, with the inset as it may be.
func (f *fitter) likeness(at fit) likeness {
	middle := r2.Scale(0.5, r2.Add(plan(f.cut.min), plan(f.cut.max)))
	const unknowns = 6 // x, y, z, scale, turn, inset
	var a [unknowns][unknowns]float64
	var b [unknowns]float64
	var rows [][unknowns]float64
	var off []float64
	for i := range f.slices {
		s := &f.slices[i]
		if s.low || s.spiral {
			continue
		}
		z := s.mid() - at.d.Z
		f.pieces = f.cut.cut(f.pieces[:0], z)
		sample(f.pieces, sampleStep, maxSamples, func(q *piece, t float64) {
			if math.Abs(q.slope) > steepSlope {
				return
			}
			p := along(q.a, q.b, t)
			met, dz, ok := s.meet(r2.Add(p, plan(at.d)), q.out, at.inset, likeWindow)
			if !ok {
				return
			}
			arm := r2.Sub(p, middle)
			rows = append(rows, [unknowns]float64{q.out.X, q.out.Y, q.slope,
				r2.Dot(q.out, arm) + q.slope*(z-f.cut.min.Z), r2.Dot(q.out, r2.Vec{X: -arm.Y, Y: arm.X}), -1})
			off = append(off, met+at.inset+q.slope*dz)
		})
	}
	if len(rows) < 2*unknowns {
		return likeness{}
	}
	for k, row := range rows {
		for i := range row {
			for j := range row {
				a[i][j] += row[i] * row[j]
			}
			b[i] += row[i] * off[k]
		}
	}
	m := mat.NewSymDense(unknowns, nil)
	for i := range unknowns {
		for j := i; j < unknowns; j++ {
			m.SetSym(i, j, a[i][j])
		}
		m.SetSym(i, i, a[i][i]+tieRise*float64(len(rows)))
	}
	// A square's scale can't be told from its inset: the usual inset decides.
	m.SetSym(5, 5, m.At(5, 5)+tieInset*float64(len(rows)))
	b[5] += tieInset * float64(len(rows)) * (f.usual - at.inset)
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(m) || chol.SolveVecTo(&x, mat.NewVecDense(unknowns, b[:])) != nil {
		return likeness{}
	}
	l := likeness{scale: x.AtVec(3), turn: x.AtVec(4)}
	for k, row := range rows {
		left := off[k]
		for i := range row {
			left -= row[i] * x.AtVec(i)
		}
		l.without += off[k] * off[k]
		l.withBoth += left * left
		l.byScale = max(l.byScale, math.Abs(l.scale*row[3]))
		l.byTurn = max(l.byTurn, math.Abs(l.turn*row[4]))
	}
	l.without, l.withBoth = math.Sqrt(l.without/float64(len(rows))), math.Sqrt(l.withBoth/float64(len(rows)))
	return l
}

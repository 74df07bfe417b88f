package register

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A fitter moves the mesh's outline onto the beads: point-to-line matching
// (Chen and Medioni, Object modelling by registration of multiple range
// images, 1992, in the plane) for dx, dy, dz and the unknown inset of the
// outermost beads at once.
//
// From each sample p of a section, along its outward normal n, the outermost
// bead is met at p + t n; t = -inset where all is well. Moving the section by
// (dx, dy), lowering the plane by dz and changing the inset changes t + inset
// by -n . (dx, dy) - slope dz + inset: linear, so each round solves a 4 x 4
// system of robust least squares.
type fitter struct {
	cut    *cutter
	slices []slice
	usual  float64 // the inset that the line width lets expect

	pieces []piece
	off    []float64
}

// fit is a state of the fitter.
type fit struct {
	d      r3.Vec
	inset  float64
	rms    float64 // of the best nine tenths of the samples, mm
	share  float64 // of samples that fit to within fits
	n      int     // samples that met a bead
	missed int     // and those that didn't
}

const (
	fits = 0.1 // mm: a third of what is refused
	// sampleStep is the distance of samples along the outline, mm, and
	// maxSamples bounds them a layer.
	sampleStep = 0.7
	maxSamples = 600
	// steepSlope: on surfaces flatter than this (nz / |nxy|) a rounding of
	// height moves the outline too far to tell anything.
	steepSlope = 4.0
	// trimmed is the share of samples, the best, whose mean square counts.
	trimmed = 0.9
)

// rows are sums for the normal equations.
type rows struct {
	a [4][4]float64
	b [4]float64
}

// round matches once and returns the moved fit; the measures are those before
// the move. window is how far to look for beads; fixed keeps dz.
func (f *fitter) round(at fit, window float64, fixed bool) fit {
	f.off = f.off[:0]
	scale := math.Max(0.03, 2.5*at.rms)
	if at.n == 0 {
		scale = window
	}
	var sums rows
	missed := 0
	for i := range f.slices {
		s := &f.slices[i]
		if s.low {
			continue
		}
		f.pieces = f.cut.cut(f.pieces[:0], s.mid()-at.d.Z)
		missed += f.match(s, &at, window, scale, &sums)
	}
	at.measure(f.off, missed)
	if at.n < 3 {
		return at
	}
	return f.move(at, &sums, fixed)
}

// match adds a layer's samples to the sums and returns how many met no bead.
func (f *fitter) match(s *slice, at *fit, window, scale float64, sums *rows) (missed int) {
	shift := plan(at.d)
	sample(f.pieces, sampleStep, maxSamples, func(q *piece, t float64) {
		if math.Abs(q.slope) > steepSlope {
			return
		}
		met, dz, ok := s.meet(r2.Add(along(q.a, q.b, t), shift), q.out, at.inset, window)
		if !ok {
			missed++
			return
		}
		if s.lead {
			dz = 0
		}
		r := met + at.inset + q.slope*dz
		f.off = append(f.off, math.Abs(r))
		w := 1 / (1 + q.slope*q.slope/4)
		if u := r / scale; math.Abs(u) < 1 { // Tukey's biweight
			w *= (1 - u*u) * (1 - u*u)
			sums.add([4]float64{q.out.X, q.out.Y, q.slope, -1}, r, w)
		}
	})
	return missed
}

// sample calls do for places along the pieces, a step apart or such that there
// are at most that many; t is where on the piece.
func sample(pieces []piece, step float64, most int, do func(q *piece, t float64)) {
	total := 0.0
	for i := range pieces {
		if !pieces[i].inner {
			total += r2.Norm(r2.Sub(pieces[i].b, pieces[i].a))
		}
	}
	step = math.Max(step, total/float64(most))
	next := step / 2
	for i := range pieces {
		q := &pieces[i]
		if q.inner {
			continue
		}
		length := r2.Norm(r2.Sub(q.b, q.a))
		for ; next < length; next += step {
			do(q, next/length)
		}
		next -= length
	}
}

// meet finds the outermost bead along the normal n at p, between window
// outside and inside of where it is expected; dz is how much higher it lies
// than its layer.
func (s *slice) meet(p, n r2.Vec, inset, window float64) (t, dz float64, ok bool) {
	from := r2.Add(p, r2.Scale(window-inset, n))
	to := r2.Add(p, r2.Scale(-window-inset, n))
	t = math.Inf(-1)
	steps := int(2*window/(s.grid.side/2)) + 2
	last := -1
	for k := 0; k <= steps; k++ {
		c := s.grid.at(along(from, to, float64(k)/float64(steps)))
		if c == last {
			continue
		}
		last = c
		for _, i := range s.grid.items(c) {
			g := &s.segments[i]
			// p + t n = a + u (b - a)
			e := r2.Sub(g.b, g.a)
			den := r2.Cross(n, e)
			if math.Abs(den) < 0.3*r2.Norm(e) { // too slanting to be the wall of this side
				continue
			}
			ap := r2.Sub(g.a, p)
			u := r2.Cross(ap, n) / den
			v := r2.Cross(ap, e) / den
			if u >= 0 && u <= 1 && math.Abs(v+inset) <= window && v > t {
				t, dz, ok = v, g.dz, true
			}
		}
	}
	return t, dz, ok
}

func (s *rows) add(c [4]float64, r, w float64) {
	for i := range c {
		for j := range c {
			s.a[i][j] += w * c[i] * c[j]
		}
		s.b[i] += w * c[i] * r
	}
}

func (f *fit) measure(off []float64, missed int) {
	f.n, f.missed = len(off), missed
	slices.Sort(off)
	good, sum := 0, 0.0
	for _, r := range off {
		if r < fits {
			good++
		}
	}
	most := int(trimmed * float64(len(off)))
	for _, r := range off[:most] {
		sum += r * r
	}
	f.share = float64(good) / math.Max(1, float64(len(off)+missed))
	f.rms = math.Sqrt(sum / math.Max(1, float64(most)))
}

// Weak ties for what the samples can't tell, as shares of all samples: an
// unseen dz stays, an unseen inset goes to the expected one.
const (
	tieShift = 1e-6
	tieRise  = 1e-5
	tieInset = 1e-3
)

// longest bounds one round's move, mm.
const longest = 1.5

func (f *fitter) move(at fit, sums *rows, fixed bool) fit {
	n := float64(at.n)
	a := mat.NewSymDense(4, nil)
	b := mat.NewVecDense(4, sums.b[:])
	for i := range 4 {
		for j := i; j < 4; j++ {
			a.SetSym(i, j, sums.a[i][j])
		}
	}
	tie := [4]float64{tieShift * n, tieShift * n, tieRise * n, tieInset * n}
	if fixed {
		tie[2] = 1e9 * n
	}
	for i := range tie {
		a.SetSym(i, i, a.At(i, i)+tie[i])
	}
	b.SetVec(3, b.AtVec(3)+tie[3]*(f.usual-at.inset))
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(a) || chol.SolveVecTo(&x, b) != nil {
		return at
	}
	limit := func(v float64) float64 { return math.Min(math.Max(v, -longest), longest) }
	at.d.X += limit(x.AtVec(0))
	at.d.Y += limit(x.AtVec(1))
	at.d.Z += limit(x.AtVec(2))
	at.inset = math.Min(math.Max(at.inset+x.AtVec(3), 0.3*f.usual), 2.5*f.usual)
	return at
}

// settle makes rounds with a narrowing window.
func (f *fitter) settle(at fit, windows []float64, fixed bool) fit {
	for _, w := range windows {
		at = f.round(at, w, fixed)
	}
	return at
}

var (
	wide   = []float64{1.5, 1.2, 0.9, 0.7}
	narrow = []float64{0.6, 0.5, 0.5, 0.4, 0.4, 0.4, 0.4}
	again  = []float64{0.5, 0.4, 0.4, 0.4, 0.4}
)

// best fits from every place and returns the best; of equals the first.
func (f *fitter) best(from []place) fit {
	var top fit
	for i, p := range from {
		at := f.settle(fit{d: p.d, inset: f.usual}, wide, false)
		if i == 0 || at.share > top.share+0.01 {
			top = at
		}
	}
	return f.settle(top, narrow, false)
}

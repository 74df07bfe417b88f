package polygon

import (
	"errors"
	"fmt"
	"math"

	clipper "github.com/ctessum/go.clipper"
	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// Unit is the step, mm, to which results are rounded: a tenth of what motion
	// files can say.
	Unit = 1e-4

	// arcSteps is how far an offset's arc may stray from round, in clipper
	// steps: as far as a simplified contour.
	arcSteps = ContourTolerance / Unit

	// tinyEdge is what rounding to Unit does to an edge, with some room.
	tinyEdge = 10 * Unit

	// crumb is the area below which a contour is dropped, mm2: rounding to
	// Unit makes slivers of this size, no bead fits in them.
	crumb = 1e-4
)

var errClip = errors.New("polygon operation failed")

// Union cleans contours: overlapping bodies become one (nonzero rule).
func Union(r Region) (Region, error) {
	return boolean(clipper.CtUnion, r, nil)
}

// Intersect is what two clean regions have in common.
func Intersect(a, b Region) (Region, error) {
	if len(a) == 0 || len(b) == 0 {
		return nil, nil
	}
	return boolean(clipper.CtIntersection, a, b)
}

// Subtract is a without b.
func Subtract(a, b Region) (Region, error) {
	if len(a) == 0 || len(b) == 0 {
		return a, nil
	}
	return boolean(clipper.CtDifference, a, b)
}

func boolean(op clipper.ClipType, a, b Region) (Region, error) {
	if len(a) == 0 && len(b) == 0 {
		return nil, nil
	}
	return attempts(func(f frame) (clipper.Paths, bool) {
		subject, clip := f.in(a), f.in(b)
		if len(subject) == 0 && len(clip) == 0 {
			return nil, true // without an edge the library reports failure
		}
		c := clipper.NewClipper(clipper.IoNone)
		c.AddPaths(subject, clipper.PtSubject, true)
		c.AddPaths(clip, clipper.PtClip, true)
		return c.Execute1(op, clipper.PftNonZero, clipper.PftNonZero)
	})
}

// Inset shrinks a clean region by d >= 0 on all sides; reflex corners become
// arcs, so that every point of the result's boundary is d from r's.
//
// The library leaves tiny edges of any direction where offset edges meet; they
// are simplified away, for they would look like sharp corners.
func Inset(r Region, d float64) (Region, error) {
	r, err := offset(r, -d, clipper.JtRound)
	out := r[:0:0]
	for _, c := range r {
		if s := Simplify(c, tinyEdge); s != nil {
			out = append(out, s)
		}
	}
	return out, err
}

// Grow is inset's way back; convex corners stay sharp down to 60 degrees.
func Grow(r Region, d float64) (Region, error) {
	return offset(r, d, clipper.JtMiter)
}

// GrowRound is Grow with arcs at convex corners, so that every point of the
// result's boundary is d from r.
func GrowRound(r Region, d float64) (Region, error) {
	return offset(r, d, clipper.JtRound)
}

func offset(r Region, d float64, join clipper.JoinType) (Region, error) {
	if len(r) == 0 || math.Abs(d) < Unit {
		return r, nil
	}
	return attempts(func(f frame) (clipper.Paths, bool) {
		in := f.in(r)
		if len(in) == 0 {
			return nil, true
		}
		co := clipper.NewClipperOffset()
		co.ArcTolerance = arcSteps
		co.AddPaths(in, join, clipper.EtClosedPolygon)
		out := co.Execute(d / Unit)
		return out, d > 0 || within(out, in)
	})
}

// within catches an inset that leaves its source: the library works with a
// frame around it, which must never come back as a result.
func within(out, in clipper.Paths) bool {
	lo, hi := bounds(in)
	for _, p := range out {
		for _, q := range p {
			if q.X < lo.X || q.Y < lo.Y || q.X > hi.X || q.Y > hi.Y {
				return false
			}
		}
	}
	return true
}

func bounds(ps clipper.Paths) (lo, hi clipper.IntPoint) {
	lo, hi = *ps[0][0], *ps[0][0]
	for _, p := range ps {
		for _, q := range p {
			lo.X, lo.Y = min(lo.X, q.X), min(lo.Y, q.Y)
			hi.X, hi.Y = max(hi.X, q.X), max(hi.Y, q.Y)
		}
	}
	return lo, hi
}

// frame is the turn in which clipper sees the plane. Its sweep fails on rare
// degenerate input; the same input seen from another side seldom does.
type frame struct{ cos, sin float64 }

var frames = []frame{{1, 0}, {0, 1}, {math.Cos(1), math.Sin(1)}}

// attempts runs f in one frame after the other until it succeeds.
func attempts(f func(frame) (clipper.Paths, bool)) (Region, error) {
	var why error
	for _, fr := range frames {
		out, err := guarded(fr, f)
		if err == nil {
			return fr.out(out), nil
		}
		why = err
	}
	return nil, why
}

// guarded turns the library's panics into errors.
func guarded(fr frame, f func(frame) (clipper.Paths, bool)) (out clipper.Paths, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%w: %v", errClip, p)
		}
	}()
	out, ok := f(fr)
	if !ok {
		return nil, errClip
	}
	return out, nil
}

// in converts to clipper's integers, without repeated points and without
// contours that enclose nothing, on which the sweep stumbles.
func (f frame) in(r Region) clipper.Paths {
	out := make(clipper.Paths, 0, len(r))
	for _, c := range r {
		points := make([]clipper.IntPoint, 0, len(c))
		for _, p := range c {
			q := clipper.IntPoint{
				X: clipper.CInt(math.Round((f.cos*p.X - f.sin*p.Y) / Unit)),
				Y: clipper.CInt(math.Round((f.sin*p.X + f.cos*p.Y) / Unit)),
			}
			if len(points) == 0 || q != points[len(points)-1] {
				points = append(points, q)
			}
		}
		for len(points) > 1 && points[0] == points[len(points)-1] {
			points = points[:len(points)-1]
		}
		if len(points) < 3 || math.Abs(SignedArea(c)) < crumb/100 {
			continue
		}
		path := make(clipper.Path, len(points))
		for i := range points {
			path[i] = &points[i]
		}
		out = append(out, path)
	}
	return out
}

// out is the way back; crumbs are dropped.
func (f frame) out(ps clipper.Paths) Region {
	out := make(Region, 0, len(ps))
	for _, p := range ps {
		if len(p) < 3 {
			continue
		}
		c := make([]r2.Vec, len(p))
		for i, q := range p {
			x, y := float64(q.X)*Unit, float64(q.Y)*Unit
			c[i] = r2.Vec{X: f.cos*x + f.sin*y, Y: -f.sin*x + f.cos*y}
		}
		if math.Abs(SignedArea(c)) >= crumb {
			out = append(out, c)
		}
	}
	return out
}

// Package clearance proves a corrected motion free of collisions: between the
// head and what is printed already, the bed, and the obstacles on it.
//
// It is exact in time. The centre lines of all beads are sorted into voxels,
// each stamped with the move that laid it; the head is then moved through the
// motion, and only material with an earlier stamp counts. So parts printed side
// by side and zones printed later are judged as they stand at that moment, and
// chunks of the motion can be checked in parallel with the same result. Voxels
// only find candidates: each is confirmed against the bead's own stadium.
//
// The head is the card's profile (truncated cones along the nozzle axis) and
// its boxes. Printed material nearer to the tip than the head's tip_free is
// ignored; the bed and obstacles never are. Lengths are mm, angles radians,
// places the bed's.
package clearance

import (
	"errors"
	"fmt"
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Step is one straight move: tip, azimuth and lean all run linearly from From to To.
type Step struct {
	From, To machine.Pose
	// Area is the bead's cross-section, mm2 (filament laid divided by length);
	// 0 or less where the move lays none.
	Area float64
	// Thickness of the bead square to its shell, mm. 0: 0.2.
	Thickness float64
	// Up is the shell's normal on which Thickness is measured, pointing up; its
	// length doesn't matter. Zero: the nozzle axis.
	Up r3.Vec
	// Line is the line of the motion file, Zone the caller's number of the zone;
	// both only come back in the report.
	Line, Zone int
}

// Width returns the width of a stadium of the given cross-section and
// thickness: the inverse of A = (w - t) t + pi (t/2)^2 (common practice). A bead
// too thin for its thickness is a round one.
func Width(area, thickness float64) float64 {
	w := (area-math.Pi/4*thickness*thickness)/thickness + thickness
	if w < thickness {
		return math.Sqrt(4 / math.Pi * area)
	}
	return w
}

const (
	defaultThickness = 0.2
	// maxBead bounds width and thickness of a bead: a blob of filament on a move
	// of a few micrometres would otherwise be metres wide.
	maxBead = 10.0
	// maxPlace bounds coordinates, far beyond any desktop machine; float32 then
	// still holds them within 0.001 mm.
	maxPlace = 1e4
	// noLength is the length below which a move lays no bead that could be told
	// from a point.
	noLength = 1e-6
)

// ErrStep is wrapped by errors about a step that can't be used.
var ErrStep = errors.New("clearance: step can't be used")

// rec is one step as it is kept: 56 bytes. It begins where the record before
// it ends.
type rec struct {
	azimuth, lean    float64
	x, y, z          float32
	upX, upY         float32 // shell normal, z >= 0 left out
	width, thickness float32 // 0: no bead
	line, step       int32   // step: counting from 1
	zone             int16
	use              use
}

// use is what a record is for, beside the bead that it may have.
type use uint8

const (
	skipped use = iota // the motion doesn't lead here, or is known to be clear here
	check              // the head is moved here
	// measure is the same where all clearances are measured, not only those under
	// nearLookOut.
	measure
)

// slabBits: records are kept in slabs of 2^slabBits, so that adding never
// copies what is there.
const slabBits = 15

func (c *checker) rec(i int) *rec { return &c.slabs[i>>slabBits][i&(1<<slabBits-1)] }

func (c *checker) push(r rec) {
	if c.n>>slabBits == len(c.slabs) {
		c.slabs = append(c.slabs, new([1 << slabBits]rec))
	}
	*c.rec(c.n) = r
	c.n++
}

func (r *rec) tip() r3.Vec { return r3.Vec{X: float64(r.x), Y: float64(r.y), Z: float64(r.z)} }

// pose returns where the head stands at the record's end.
func (r *rec) pose() machine.Pose {
	return machine.Pose{Tip: r.tip(), Azimuth: r.azimuth, Lean: r.lean}
}

// checker holds the steps that are kept of a motion.
type checker struct {
	head        *shape
	o           Options
	nearLookOut float64
	slabs       []*[1 << slabBits]rec
	n           int // records
}

// Options tell what moves and among what.
type Options struct {
	Head      machine.Head
	Obstacles []machine.Box
	// Voxel is the edge of a voxel, mm. 0: 0.75.
	Voxel float64
	// LookOut is how far, mm, the least clearance is looked for. 0: 5.
	LookOut float64
	// Workers is the number of goroutines. 0: one for each processor. The report
	// doesn't depend on it.
	Workers int
}

// withDefaults returns the options with defaults filled in.
func (o Options) withDefaults() (Options, error) {
	if o.Voxel == 0 {
		o.Voxel = 0.75
	}
	if o.LookOut == 0 {
		o.LookOut = 5
	}
	if !(o.Voxel >= 0.1 && o.Voxel <= 10) {
		return o, fmt.Errorf("clearance: a voxel of %g mm: give 0.1 to 10", o.Voxel)
	}
	if !(o.LookOut > 0 && o.LookOut <= 100) {
		return o, fmt.Errorf("clearance: a look-out of %g mm: give up to 100", o.LookOut)
	}
	return o, nil
}

// usable returns an error, wrapping ErrStep, for a step that can't be checked.
func (s *Step) usable() error {
	for _, v := range [...]float64{s.From.Tip.X, s.From.Tip.Y, s.From.Tip.Z, s.To.Tip.X, s.To.Tip.Y, s.To.Tip.Z} {
		if !(math.Abs(v) <= maxPlace) {
			return fmt.Errorf("%w: line %d: coordinate %g mm is out of bounds (%g)", ErrStep, s.Line, v, maxPlace)
		}
	}
	if !(math.Abs(s.From.Azimuth) <= 1e7 && math.Abs(s.To.Azimuth) <= 1e7) {
		return fmt.Errorf("%w: line %d: azimuth %g is out of bounds", ErrStep, s.Line, s.To.Azimuth)
	}
	return nil
}

// keep adds a usable step: number i of the motion, counting from 1, which lays b.
func (c *checker) keep(s *Step, b *bead, i int, u use) {
	from := poseRec(s.From, s, i)
	if c.n == 0 || !sameplace(c.rec(c.n-1), &from) {
		c.push(from)
	}
	to := poseRec(s.To, s, i)
	to.use = u
	to.width, to.thickness = float32(b.width), float32(b.thickness)
	to.upX, to.upY = float32(b.up.X), float32(b.up.Y)
	c.push(to)
}

func poseRec(p machine.Pose, s *Step, i int) rec {
	return rec{azimuth: p.Azimuth, lean: p.Lean, x: float32(p.Tip.X), y: float32(p.Tip.Y), z: float32(p.Tip.Z), step: int32(i),
		line: int32(min(max(s.Line, math.MinInt32), math.MaxInt32)), zone: int16(min(max(s.Zone, math.MinInt16), math.MaxInt16))}
}

func sameplace(a, b *rec) bool {
	return a.x == b.x && a.y == b.y && a.z == b.z && a.azimuth == b.azimuth && a.lean == b.lean
}

// bead is what a step lays; thickness 0: nothing.
type bead struct {
	width, thickness float64
	up               r3.Vec // unit, pointing up
}

// bead returns what the step lays.
func (s *shape) bead(st *Step) bead {
	if !(st.Area > 0) || r3.Norm(r3.Sub(st.To.Tip, st.From.Tip)) < noLength {
		return bead{}
	}
	t := st.Thickness
	if !(t > 0) {
		t = defaultThickness
	}
	t = min(t, maxBead)
	w := Width(st.Area, t)
	up := st.Up
	if n := r3.Norm(up); !(n > 0) || math.IsInf(n, 0) {
		up = s.axis(machine.Pose{Azimuth: (st.From.Azimuth + st.To.Azimuth) / 2, Lean: (st.From.Lean + st.To.Lean) / 2})
	} else {
		up = r3.Scale(1/n, up)
	}
	if up.Z < 0 {
		up = r3.Scale(-1, up)
	}
	return bead{width: min(w, maxBead), thickness: min(t, w), up: up}
}

package clearance

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// plain is a check that is slow and evidently right: every bead as a cloud of
// points, every move as many poses, every point asked whether it lies in the
// head. It shares nothing with the package but the definition of Step.
type plain struct {
	head machine.Head
	grow float64 // of the head's shape, mm; negative shrinks
	free float64
}

// holds reports whether the head at a pose holds the place p.
func (h *plain) holds(pose machine.Pose, p r3.Vec) bool {
	d := r3.Sub(p, pose.Tip)
	if r3.Norm(d) < h.free {
		return false
	}
	sin, cos := math.Sincos(pose.Azimuth)
	x, y, z := d.X*cos+d.Y*sin, d.Y*cos-d.X*sin, d.Z
	for _, b := range h.head.Boxes {
		if g := h.grow; x >= b.Min[0]-g && x <= b.Max[0]+g && y >= b.Min[1]-g && y <= b.Max[1]+g && z >= b.Min[2]-g && z <= b.Max[2]+g {
			return true
		}
	}
	st, ct := math.Sincos(h.head.Tilt * math.Pi / 180)
	axis := r3.Vec{X: st, Z: ct}
	a := r3.Dot(axis, r3.Vec{X: x, Y: y, Z: z})
	rho := r3.Norm(r3.Sub(r3.Vec{X: x, Y: y, Z: z}, r3.Scale(a, axis)))
	p0 := h.head.Profile
	if a < p0[0][0]-h.grow || a > p0[len(p0)-1][0]+h.grow {
		return false
	}
	a = min(max(a, p0[0][0]), p0[len(p0)-1][0])
	for i := range len(p0) - 1 {
		if a >= p0[i][0] && a <= p0[i+1][0] && p0[i+1][0] > p0[i][0] {
			r := p0[i][1] + (p0[i+1][1]-p0[i][1])*(a-p0[i][0])/(p0[i+1][0]-p0[i][0])
			slope := (p0[i+1][1] - p0[i][1]) / (p0[i+1][0] - p0[i][0])
			if rho <= r+h.grow*math.Sqrt(1+slope*slope) {
				return true
			}
		}
	}
	return false
}

// cloud fills a bead with points about 0.08 mm apart, its ends included. Its
// middle line lies on the nozzle's axis, half a thickness under the shell's upper
// face, which the tip is on; its width follows from A = (w - t) t + pi (t/2)^2.
func cloud(s *Step, tilt float64) []r3.Vec {
	t := s.Thickness
	w := (s.Area-math.Pi/4*t*t)/t + t
	up := r3.Unit(s.Up)
	below := func(p machine.Pose) r3.Vec {
		st, ct := math.Sincos(tilt * math.Pi / 180)
		axis := r3.Vec{X: st * math.Cos(p.Azimuth), Y: st * math.Sin(p.Azimuth), Z: ct}
		return r3.Sub(p.Tip, r3.Scale(t/2/r3.Dot(axis, up), axis))
	}
	from, to := below(s.From), below(s.To)
	d := r3.Sub(to, from)
	across := r3.Unit(r3.Cross(d, up))
	var out []r3.Vec
	n := int(r3.Norm(d)/0.08) + 1
	for i := range n + 1 {
		c := r3.Add(from, r3.Scale(float64(i)/float64(n), d))
		for a := -w / 2; a <= w/2; a += 0.07 {
			for b := -t / 2; b <= t/2+1e-9; b += t / 4 {
				if e := max(0, math.Abs(a)-(w-t)/2); math.Hypot(e, b) <= t/2+1e-9 {
					out = append(out, r3.Add(c, r3.Add(r3.Scale(a, across), r3.Scale(b, up))))
				}
			}
		}
	}
	return out
}

// meets reports whether the head holds a point of earlier material at any of
// many poses of the move.
func (h *plain) meets(s *Step, earlier [][]r3.Vec) bool {
	n := 1 + int(max(r3.Norm(r3.Sub(s.To.Tip, s.From.Tip))/0.05, math.Abs(s.To.Azimuth-s.From.Azimuth)/0.005))
	for i := range n + 1 {
		t := float64(i) / float64(n)
		pose := machine.Pose{Tip: r3.Add(r3.Scale(1-t, s.From.Tip), r3.Scale(t, s.To.Tip)), Azimuth: (1-t)*s.From.Azimuth + t*s.To.Azimuth}
		for _, bead := range earlier {
			for _, p := range bead {
				if h.holds(pose, p) {
					return true
				}
			}
		}
	}
	return false
}

// randomHead is a small head of any tilt and shape.
func randomHead(r *rand.Rand) machine.Head {
	h := machine.Head{Tilt: 60 * r.Float64(), TipFree: 0.3 + r.Float64()}
	a, rad := 0.0, 0.2+0.5*r.Float64()
	for range 2 + r.IntN(3) {
		h.Profile = append(h.Profile, [2]float64{a, rad})
		a += 0.5 + 3*r.Float64()
		rad = max(0.1, rad+1.5*r.Float64()-0.3)
	}
	if r.IntN(2) == 0 {
		x, y, z := 4*r.Float64()-2, 4*r.Float64()-2, 3+3*r.Float64()
		h.Boxes = []machine.Box{{Min: [3]float64{x, y, z}, Max: [3]float64{x + 1 + 3*r.Float64(), y + 1 + 3*r.Float64(), z + 2}}}
	}
	return h
}

// randomMotion lays beads and travels in a space of 8 mm, so that many moves
// collide and many don't.
func randomMotion(r *rand.Rand, n int) []Step {
	pose := func() machine.Pose {
		return machine.Pose{Tip: r3.Vec{X: 8 * r.Float64(), Y: 8 * r.Float64(), Z: 30 + 4*r.Float64()}, Azimuth: 12 * r.Float64()}
	}
	var out []Step
	from := pose()
	for i := range n {
		to := pose()
		switch r.IntN(4) {
		case 0: // swivel only
			to.Tip = from.Tip
		case 1: // short
			to.Tip = r3.Add(from.Tip, r3.Scale(0.1, r3.Sub(to.Tip, from.Tip)))
			to.Azimuth = from.Azimuth
		case 2:
			to.Azimuth = from.Azimuth + r.NormFloat64()
		}
		s := Step{From: from, To: to, Line: i + 1, Thickness: 0.1 + 0.3*r.Float64(), Up: r3.Vec{X: r.Float64() - 0.5, Y: r.Float64() - 0.5, Z: 1}}
		if r.IntN(2) == 0 && r3.Norm(r3.Cross(r3.Sub(to.Tip, from.Tip), s.Up)) > 0.1 {
			s.Area = s.Thickness * s.Thickness * (0.8 + 3*r.Float64())
		}
		if s.Area > 0 { // no narrower than it is thick
			s.Area = max(s.Area, math.Pi/4*s.Thickness*s.Thickness)
		}
		out = append(out, s)
		from = to
	}
	return out
}

// A collision deeper than slack must be found, and what is found must be one
// when the head is larger by slack: what tip_free cuts, where the package
// judges whole beads by their foremost points, is blurred by a bead's half
// height.
func TestCheckAgreesWithThePlainOne(t *testing.T) {
	const slack = 0.15
	scenes := 10
	if testing.Short() {
		scenes = 4
	}
	found, clear := 0, 0
	for seed := range scenes {
		r := rand.New(rand.NewPCG(uint64(seed), 3))
		head := randomHead(r)
		steps := randomMotion(r, 9)
		sure := plain{head, -slack, head.TipFree + slack}
		perhaps := plain{head, slack / 2, max(0, head.TipFree-slack)}
		var earlier [][]r3.Vec
		before := 0
		for i := range steps {
			now := collidingMoves(t, steps[:i+1], head)
			hit := now > before
			before = now
			switch {
			case hit && !perhaps.meets(&steps[i], earlier):
				t.Errorf("scene %d move %d: false alarm (%+v)", seed, i, steps[i])
			case !hit && sure.meets(&steps[i], earlier):
				t.Errorf("scene %d move %d: missed (%+v)", seed, i, steps[i])
			case hit:
				found++
			default:
				clear++
			}
			if steps[i].Area > 0 {
				earlier = append(earlier, cloud(&steps[i], head.Tilt))
			}
		}
	}
	t.Logf("%d moves collide, %d are clear", found, clear)
	if found < scenes || clear < scenes {
		t.Errorf("%d collide, %d are clear: the scenes show too little", found, clear)
	}
}

// collidingMoves returns how many of the steps collide.
func collidingMoves(t *testing.T, steps []Step, head machine.Head) int {
	r, err := Check(context.Background(), Options{Head: head}, MotionOf(steps), nil)
	if err != nil {
		t.Fatal(err)
	}
	return r.Moves
}

// The report must not depend on who checks what when.
func TestReportIsTheSameWithOneWorkerAndWithMany(t *testing.T) {
	var reports []Report
	for _, workers := range []int{1, 4} {
		s := newScene(t, straight())
		s.o.Workers = workers
		s.f = cone(30, false)
		s.disc(middle, 0.5, 11, 8, 3) // more than two chunks
		s.travel(130, 100, 2)         // and some collisions in the last
		s.swivel(10)
		s.travel(110, 100, 2)
		reports = append(reports, s.check())
	}
	if len(reports[0].Collisions) == 0 || reports[0].Steps < 2*chunk {
		t.Errorf("too little to compare: %+v", reports[0])
	}
	if !reflect.DeepEqual(reports[0], reports[1]) {
		t.Errorf("reports differ:\n%+v\n%+v", reports[0], reports[1])
	}
}

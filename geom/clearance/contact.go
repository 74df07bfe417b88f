package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// patch is the part of a strip that lies in one voxel.
type patch struct {
	c, u, v r3.Vec // centre; unit vectors along and across
	hu, hv  float64
	rb      float64
	laid    int
}

// try confirms or clears the part of a bead that lies in the voxel at lo.
func (s *search) try(laid int, lo r3.Vec) {
	st := s.c.strip(laid)
	tracks, _ := st.tracks(s.g.voxel)
	for k := range tracks {
		p := st.track(k, tracks)
		u0, u1, ok := clip(p, st.u, st.l, lo, s.g.voxel)
		if !ok {
			continue
		}
		pt := patch{c: r3.Add(p, r3.Scale((u0+u1)/2, st.u)), u: st.u, v: st.v,
			hu: (u1 - u0) / 2, hv: st.hv / float64(tracks), rb: st.rb, laid: laid}
		if s.meets(&pt) {
			s.contact(&pt, s.pose, 0)
		}
	}
}

// meets reports whether a patch may matter, like reachable, but as the flat
// thing that it is.
func (s *search) meets(p *patch) bool {
	h, f := s.c.head, &s.pose
	c, u, v := f.local(p.c), f.direction(p.u), f.direction(p.v)
	r := p.hu + p.hv + p.rb
	up := p.hu*math.Abs(u.X*h.sin+u.Z*h.cos) + p.hv*math.Abs(v.X*h.sin+v.Z*h.cos) + p.rb
	return !s.under(c, r, up) || h.boxWithin(c, r+max(f.allowed+f.slip(c, r), f.noteUnder))
}

// deepestCut bounds how often a piece is halved in time. The slip halves each
// time, so that it is never reached unless numbers are absurd.
const deepestCut = 24

// contact looks for the least distance of a patch at the middle of a piece,
// and cuts the piece in two where a collision in between can't be ruled out.
func (s *search) contact(p *patch, f frame, cut int) {
	slip := f.slip(f.local(p.c), p.hu+p.hv)
	m := s.nearest(p, &f, slip)
	if m-slip >= s.allowed() || slip <= finestSlip || cut == deepestCut {
		return
	}
	for _, half := range [2]frame{s.half(&f, -1), s.half(&f, 1)} {
		s.contact(p, half, cut+1)
	}
}

// half returns the earlier (-1) or later (1) half of a piece.
func (s *search) half(f *frame, side float64) frame {
	if f.leans() {
		t := f.t + side*f.half/2
		return s.frame(t-f.half/2, t+f.half/2)
	}
	d := r3.Sub(s.b.Tip, s.a.Tip)
	h := frame{cl: 1, tip: f.tip, sin: f.sin, cos: f.cos, run: f.run / 2, turn: f.turn / 2, t: f.t + side*f.half/2, half: f.half / 2}
	if l := r3.Norm(d); l > 0 {
		h.tip = r3.Add(f.tip, r3.Scale(side*f.run/2/l, d))
	}
	if f.turn > 0 {
		sin, cos := math.Sincos(math.Copysign(side*f.turn/2, side*(s.b.Azimuth-s.a.Azimuth)))
		h.sin, h.cos = f.sin*cos+f.cos*sin, f.cos*cos-f.sin*sin
	}
	return h
}

// tile is a part of a patch.
type tile struct{ u, v, hu, hv float64 }

// tipEdge is the size, mm, at which tiles that tip_free cuts are taken as they
// are: how much material is under the tip is a round number anyway.
const tipEdge = 0.1

// nearest finds how near a patch comes to the head where f stands, notes it as
// least clearance or as a hit, and returns a lower bound of the distance, of up
// to slip. It halves the patch until its parts are far enough to be of no
// interest.
func (s *search) nearest(p *patch, f *frame, slip float64) (least float64) {
	stack := append(s.tiles[:0], tile{0, 0, p.hu, p.hv})
	defer func() { s.tiles = stack[:0] }()
	c, u, v := f.local(p.c), f.direction(p.u), f.direction(p.v)
	least = math.Inf(1)
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		q := probe{c: r3.Add(c, r3.Add(r3.Scale(t.u, u), r3.Scale(t.v, v))), u: u, v: v, hu: t.hu, hv: t.hv, rb: p.rb}
		r := math.Sqrt(t.hu*t.hu + t.hv*t.hv)
		from := math.Sqrt(r3.Norm2(q.c))
		if from+r+f.run < s.c.head.free {
			continue // under the tip, all of it, all the time
		}
		q.limit = max(s.best, slip)
		h := s.c.head.touch(&q)
		if h.d < s.best || h.d < s.allowed() {
			s.note(h.d, h.part, p, t, f)
		}
		if h.low >= max(s.noteUnder(), s.allowed()) || r <= fineness || r <= tipEdge && from-r < s.c.head.free {
			least = min(least, h.low)
			continue
		}
		if t.hu > t.hv {
			t.hu /= 2
			stack = append(stack, tile{t.u - t.hu, t.v, t.hu, t.hv}, tile{t.u + t.hu, t.v, t.hu, t.hv})
		} else {
			t.hv /= 2
			stack = append(stack, tile{t.u, t.v - t.hv, t.hu, t.hv}, tile{t.u, t.v + t.hv, t.hu, t.hv})
		}
	}
	return least
}

// note keeps the distance of a tile's centre where it is less than what was found so far.
func (s *search) note(d float64, part Part, p *patch, t tile, f *frame) {
	at := r3.Add(p.c, r3.Add(r3.Scale(t.u, p.u), r3.Scale(t.v, p.v)))
	if d < s.best {
		s.best = d
		s.at = Nearest{Distance: d, At: at, Step: s.now, Part: part, Target: Material, laid: p.laid, t: f.t, half: f.half}
	}
	if d < s.allowed() {
		s.hit = hit{depth: -d, part: part, at: at, laid: p.laid}
	}
}

package clip

import "math"

// Corner is how convex corners are offset; the others always end in two edges that
// meet.
type Corner uint8

// Corners.
const (
	Round Corner = iota // an arc
	Sharp               // up to 60 degrees between the edges, cut off beyond
)

// Offset returns clean areas grown by d steps, shrunk where d < 0. Arcs are chords
// that stray from round by arcSteps at most.
func Offset(paths []Path, d float64, corner Corner, arcSteps float64) []Path {
	o := newOffset(d, corner, arcSteps)
	turned := !outerTurnsRight(paths)
	for _, p := range paths {
		if len(p) < 3 {
			continue
		}
		o.path(p, turned)
	}
	if d > 0 {
		s := newSweep(Union, positive)
		s.add(o.out, false)
		return s.unite()
	}
	s := newSweep(Union, negative)
	s.add(o.out, false)
	s.addPath(frameAbout(o.out), false)
	s.reversed = true
	out := s.unite()
	if len(out) > 0 {
		out = out[1:] // the frame
	}
	return out
}

func (s *sweep) unite() (out []Path) {
	if s.run() {
		out = s.result()
	}
	s.release()
	return out
}

// outerTurnsRight reports which way the contour with the lowest, leftmost point
// turns: it is an outer one.
func outerTurnsRight(paths []Path) bool {
	var lowest Path
	var at Point
	for _, p := range paths {
		if len(p) < 3 {
			continue
		}
		for _, q := range p {
			if lowest == nil || q.Y > at.Y || q.Y == at.Y && q.X < at.X {
				lowest, at = p, q
			}
		}
	}
	return lowest == nil || area(lowest) >= 0
}

func area(p Path) float64 {
	a := 0.0
	j := len(p) - 1
	for i := range p {
		a += (float64(p[j].X) + float64(p[i].X)) * float64(p[j].Y-p[i].Y)
		j = i
	}
	return -a * 0.5
}

// frameAbout is a box around all paths.
func frameAbout(paths []Path) Path {
	var lo, hi Point
	first := true
	for _, p := range paths {
		for _, q := range p {
			if first {
				lo, hi, first = q, q, false
			}
			lo.X, lo.Y = min(lo.X, q.X), min(lo.Y, q.Y)
			hi.X, hi.Y = max(hi.X, q.X), max(hi.Y, q.Y)
		}
	}
	const room = 10
	return Path{{lo.X - room, hi.Y + room}, {hi.X + room, hi.Y + room}, {hi.X + room, lo.Y - room}, {lo.X - room, lo.Y - room}}
}

// offset makes the raw offset paths: they may cross themselves and each other.
type offset struct {
	d        float64
	corner   Corner
	sin, cos float64 // of an arc's step
	perRad   float64 // steps a radian

	src     Path
	normals []normal
	dst     Path
	out     []Path
}

type normal struct{ x, y float64 }

// sharpest is the least 1 + cos of the turn at which a corner stays sharp.
const sharpest = 0.5

func newOffset(d float64, corner Corner, arcSteps float64) *offset {
	const share = 0.25 // of the offset, that arcs of small ones stray at most
	y := arcSteps
	if y <= 0 {
		y = share
	} else if y > math.Abs(d)*share {
		y = math.Abs(d) * share
	}
	steps := math.Pi / math.Acos(1-y/math.Abs(d))
	o := &offset{d: d, corner: corner, sin: math.Sin(2 * math.Pi / steps), cos: math.Cos(2 * math.Pi / steps), perRad: steps / (2 * math.Pi)}
	if d < 0 {
		o.sin = -o.sin
	}
	return o
}

// path offsets one path, from its end to its start where it is turned.
func (o *offset) path(p Path, turned bool) {
	n := len(p)
	o.src = append(o.src[:0], p...)
	if turned {
		for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
			o.src[i], o.src[j] = o.src[j], o.src[i]
		}
	}
	o.normals = o.normals[:0]
	for i := range n {
		o.normals = append(o.normals, normalOf(o.src[i], o.src[(i+1)%n]))
	}
	begin := len(o.dst)
	k := n - 1
	for j := range n {
		k = o.point(j, k)
	}
	o.out = append(o.out, o.dst[begin:len(o.dst):len(o.dst)])
}

func normalOf(a, b Point) normal {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	if dx == 0 && dy == 0 {
		return normal{}
	}
	f := 1 / math.Sqrt(dx*dx+dy*dy)
	dx *= f
	dy *= f
	return normal{dy, -dx}
}

// lay adds point j of the source moved by d along (x, y).
func (o *offset) lay(j int, x, y float64) {
	p := o.src[j]
	o.dst = append(o.dst, Point{round(float64(p.X) + x), round(float64(p.Y) + y)})
}

// point offsets the corner j, k being the last edge before it that counts; it
// returns the one that counts for the next corner.
func (o *offset) point(j, k int) int {
	a, b := o.normals[k], o.normals[j]
	sin := a.x*b.y - b.x*a.y
	if math.Abs(sin*o.d) < 1 {
		if a.x*b.x+b.y*a.y > 0 { // hardly a corner
			o.lay(j, a.x*o.d, a.y*o.d)
			return k
		}
	} else {
		sin = min(max(sin, -1), 1)
	}
	cos := a.x*b.x + a.y*b.y
	switch {
	case sin*o.d < 0:
		o.lay(j, a.x*o.d, a.y*o.d)
		o.dst = append(o.dst, o.src[j])
		o.lay(j, b.x*o.d, b.y*o.d)
	case o.corner == Round:
		o.arc(j, a, b, math.Atan2(sin, cos))
	case 1+(b.x*a.x+b.y*a.y) >= sharpest:
		q := o.d / (1 + (b.x*a.x + b.y*a.y))
		o.lay(j, (a.x+b.x)*q, (a.y+b.y)*q)
	default:
		t := math.Tan(math.Atan2(sin, cos) / 4)
		o.lay(j, o.d*(a.x-a.y*t), o.d*(a.y+a.x*t))
		o.lay(j, o.d*(b.x+b.y*t), o.d*(b.y-b.x*t))
	}
	return j
}

// arc goes from the normal a to b in steps.
func (o *offset) arc(j int, a, b normal, angle float64) {
	x, y := a.x, a.y
	for range int(round(o.perRad * math.Abs(angle))) {
		o.lay(j, x*o.d, y*o.d)
		x, y = x*o.cos-o.sin*y, x*o.sin+y*o.cos
	}
	o.lay(j, b.x*o.d, b.y*o.d)
}

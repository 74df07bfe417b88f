package clip

import (
	"math"
	"math/bits"
)

// edge is an edge of a contour, looked at from below: bot is its lower end.
type edge struct {
	curr Point   // where it meets the sweep line
	dx   float64 // X gained a Y; horizontal where it is level
	top  Point
	bot  Point

	right, left *edge // neighbours on the sweep line
	upper       *edge // that goes on where this one ends
	out         int32 // index of the contour that it makes; none
	winds       int32 // 1 or -1: how it changes the winding number
	wind, wind2 int32 // winding numbers of its own area and of the other, beside it
	clip        bool  // of the clip area
	isLeft      bool  // it makes the left side of its contour

	delta              Point
	next, prev         *edge // along the contour
	nextSort, prevSort *edge // in the list that is sorted, or in that of level edges
}

// none is the index of no contour.
const none = -1

var horizontal = math.Inf(-1)

func (e *edge) level() bool { return e.delta.Y == 0 }

// round rounds half away from zero.
func round(v float64) int64 {
	if v < 0 {
		return int64(v - 0.5)
	}
	return int64(v + 0.5)
}

// topX is the X of the edge at the height y.
func (e *edge) topX(y int64) int64 {
	if y == e.top.Y {
		return e.top.X
	}
	return e.bot.X + round(e.dx*float64(y-e.bot.Y))
}

// init sets what follows from the ends of an edge.
func (e *edge) init(clip bool) {
	if e.curr.Y >= e.next.curr.Y {
		e.bot, e.top = e.curr, e.next.curr
	} else {
		e.top, e.bot = e.curr, e.next.curr
	}
	e.delta = Point{e.top.X - e.bot.X, e.top.Y - e.bot.Y}
	e.dx = horizontal
	if e.delta.Y != 0 {
		e.dx = float64(e.delta.X) / float64(e.delta.Y)
	}
	e.clip = clip
}

// flip swaps the ends of a level edge, so that it follows its bound.
func (e *edge) flip() { e.top.X, e.bot.X = e.bot.X, e.top.X }

// unlink takes an edge out of its contour and returns the next one.
func (e *edge) unlink() *edge {
	e.prev.next, e.next.prev = e.next, e.prev
	return e.next
}

// sameProduct reports whether a b = c d. Products of numbers below 2^31 fit.
func sameProduct(a, b, c, d int64) bool {
	const small = 1 << 31
	if uint64(a+small) < 2*small && uint64(b+small) < 2*small && uint64(c+small) < 2*small && uint64(d+small) < 2*small {
		return a*b == c*d
	}
	h1, l1 := product(a, b)
	h2, l2 := product(c, d)
	return h1 == h2 && l1 == l2
}

// product returns the 128 bits of a b.
func product(a, b int64) (hi, lo uint64) {
	hi, lo = bits.Mul64(uint64(a), uint64(b))
	if a < 0 {
		hi -= uint64(b)
	}
	if b < 0 {
		hi -= uint64(a)
	}
	return hi, lo
}

func parallel(a, b *edge) bool {
	return sameProduct(a.delta.Y, b.delta.X, a.delta.X, b.delta.Y)
}

// inLine reports whether three points lie on a straight line.
func inLine(a, b, c Point) bool {
	return sameProduct(a.Y-b.Y, b.X-c.X, a.X-b.X, b.Y-c.Y)
}

// crossing returns where two edges cross between the sweep line and the next
// height: never under the line, never over the end of either edge.
func crossing(a, b *edge) (p Point) {
	if a.dx == b.dx {
		p.Y = a.curr.Y
		p.X = a.topX(p.Y)
		return p
	}
	switch {
	case a.delta.X == 0:
		p.X = a.bot.X
		p.Y = b.heightAt(p.X)
	case b.delta.X == 0:
		p.X = b.bot.X
		p.Y = a.heightAt(p.X)
	default:
		ca := float64(a.bot.X) - float64(a.bot.Y)*a.dx
		cb := float64(b.bot.X) - float64(b.bot.Y)*b.dx
		q := (cb - ca) / (a.dx - b.dx)
		p.Y = round(q)
		if math.Abs(a.dx) < math.Abs(b.dx) {
			p.X = round(a.dx*q + ca)
		} else {
			p.X = round(b.dx*q + cb)
		}
	}
	if p.Y < a.top.Y || p.Y < b.top.Y {
		p.Y = max(a.top.Y, b.top.Y)
		p.X = steeper(a, b).topX(p.Y)
	}
	if p.Y > a.curr.Y {
		p.Y = a.curr.Y
		if math.Abs(a.dx) > math.Abs(b.dx) {
			p.X = b.topX(p.Y)
		} else {
			p.X = a.topX(p.Y)
		}
	}
	return p
}

// steeper returns the edge whose X tells a height least wrongly.
func steeper(a, b *edge) *edge {
	if math.Abs(a.dx) < math.Abs(b.dx) {
		return a
	}
	return b
}

// heightAt returns the Y at which an edge has the X of an upright one.
func (e *edge) heightAt(x int64) int64 {
	if e.level() {
		return e.bot.Y
	}
	c := float64(e.bot.Y) - float64(e.bot.X)/e.dx
	return round(float64(x)/e.dx + c)
}

package relief

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Bead is a solid to bound: all that is within Radius of the parallelogram From
// to To, either way by Across.
type Bead struct {
	From, To r3.Vec
	Across   r3.Vec
	Radius   float64
	Up       r3.Vec // unit normal of the shell, pointing up
	Zone     int    // planes are laid out anew where another zone begins
}

// within returns the part of the span that lies in a tile, counted from the
// tile's corner.
func (s Span) within(tx, ty int32) Span {
	x0, y0 := tx<<tileLevels, ty<<tileLevels
	return Span{X0: max(s.X0-x0, 0), Y0: max(s.Y0-y0, 0), X1: min(s.X1-x0, side-1), Y1: min(s.Y1-y0, side-1)}
}

// pieceLength is the length, mm, of what is bounded as one: a long bead over
// many cells isn't everywhere as high as at its higher end.
const pieceLength = Edge

// hair is added to all bounds: what float32 rounds off at 10 m.
const hair = 1e-3

// Span is a rectangle of cells, both ends included.
type Span struct{ X0, Y0, X1, Y1 int32 }

// Pieces calls each with the bead's pieces and the cells that each may lie over,
// until it returns false.
func (b *Bead) Pieces(each func(p *Bead, s Span) bool) {
	d := r3.Sub(b.To, b.From)
	n := max(1, int(math.Ceil(math.Hypot(d.X, d.Y)/pieceLength)))
	p := *b
	for i := range n {
		p.From = r3.Add(b.From, r3.Scale(float64(i)/float64(n), d))
		p.To = r3.Add(b.From, r3.Scale(float64(i+1)/float64(n), d))
		if !each(&p, p.span()) {
			return
		}
	}
}

func (b *Bead) span() Span {
	ex, ey := math.Abs(b.Across.X)+b.Radius+hair, math.Abs(b.Across.Y)+b.Radius+hair
	cell := func(v float64) int32 { return int32(math.Floor(v / Edge)) }
	return Span{
		X0: cell(min(b.From.X, b.To.X) - ex), Y0: cell(min(b.From.Y, b.To.Y) - ey),
		X1: cell(max(b.From.X, b.To.X) + ex), Y1: cell(max(b.From.Y, b.To.Y) + ey)}
}

// Heights returns the least and the greatest z of the bead.
func (b *Bead) Heights() (lo, hi float64) {
	e := math.Abs(b.Across.Z) + b.Radius
	return min(b.From.Z, b.To.Z) - e, max(b.From.Z, b.To.Z) + e
}

// Raise adds a bead.
func (r *Relief) Raise(b *Bead) {
	if !r.begun || b.Zone != r.zone {
		r.begun, r.zone = true, b.Zone
		r.zones++ // wraps after 65,536 changes: a plane would then stay as it was, which only bounds worse
	}
	b.Pieces(func(p *Bead, s Span) bool {
		for ty := s.Y0 >> tileLevels; ty <= s.Y1>>tileLevels; ty++ {
			for tx := s.X0 >> tileLevels; tx <= s.X1>>tileLevels; tx++ {
				t := r.tile(tx, ty)
				if t == nil {
					return false
				}
				t.raise(p, r.zones, s.within(tx, ty))
			}
		}
		return true
	})
}

// raise raises the cells of a span, and the coarser ones over them.
func (t *tile) raise(p *Bead, zone int16, s Span) {
	corner := r3.Vec{X: t.x, Y: t.y}
	own := *p
	own.From, own.To = r3.Sub(p.From, corner), r3.Sub(p.To, corner)
	_, z := own.Heights()
	for k := range tileLevels + 1 {
		n := int32(side >> k)
		level := t.cells[first[k]:]
		for y := s.Y0 >> k; y <= s.Y1>>k; y++ {
			for x := s.X0 >> k; x <= s.X1>>k; x++ {
				c := &level[y*n+x]
				if !c.laid || c.zone != zone {
					c.layOut(&own, zone, float64(x)*Edge*float64(int(1)<<k), float64(y)*Edge*float64(int(1)<<k), Edge*float64(int(1)<<k))
				}
				c.z = max(c.z, float32(z)+hair)
				c.d = max(c.d, float32(own.along(c.normal()))+hair)
			}
		}
	}
}

// along returns how far the bead reaches along a unit vector.
func (b *Bead) along(n r3.Vec) float64 {
	return max(r3.Dot(n, b.From), r3.Dot(n, b.To)) + math.Abs(r3.Dot(n, b.Across)) + b.Radius
}

// layOut gives the cell at (x, y) a plane square on the bead's shell, which
// bounds what is there already.
func (c *Cell) layOut(b *Bead, zone int16, x, y, edge float64) {
	old := *c
	c.nx, c.ny, c.nz = float32(b.Up.X), float32(b.Up.Y), float32(b.Up.Z)
	c.zone, c.laid = zone, true
	if !old.laid {
		c.d, c.z = float32(math.Inf(-1)), float32(math.Inf(-1))
		return
	}
	c.d = float32(old.along(c.normal(), x+edge/2, y+edge/2, edge/2)) + hair
}

// along bounds how far the material over a square reaches along a vector that
// points up, from the tile's corner at z = 0. The square is given by its middle
// and half its edge.
func (c *Cell) along(n r3.Vec, x, y, half float64) float64 {
	flat := n.X*x + n.Y*y + (math.Abs(n.X)+math.Abs(n.Y))*half + n.Z*float64(c.z)
	if c.nz <= steepest {
		return flat
	}
	k := n.Z / float64(c.nz)
	gx, gy := n.X-k*float64(c.nx), n.Y-k*float64(c.ny)
	return min(flat, gx*x+gy*y+(math.Abs(gx)+math.Abs(gy))*half+k*float64(c.d))
}

// steepest is the least z of the normals of planes that bound anything: one on
// edge doesn't.
const steepest = 1e-3

package raster

import "math"

// stroke is how a segment is drawn.
type stroke struct {
	half     float32 // half the width, pixels
	strength float32 // of full coverage
	accent   bool
}

// segment is a straight stroke with round ends, in pixels: pixel (i, j) covers
// i..i+1, j..j+1.
type segment struct {
	x0, y0, x1, y1 float32
	stroke
}

// draw lays the segment into its mask, rows y0 to y1. A pixel is covered by
// how far its centre lies within the stroke's edge, half a pixel being the
// slope.
func (p *Painter) draw(s *segment, y0, y1 int) {
	reach := s.half + 0.5
	if max(s.y0, s.y1)+reach < float32(y0) || min(s.y0, s.y1)-reach > float32(y1) ||
		max(s.x0, s.x1)+reach < 0 || min(s.x0, s.x1)-reach > float32(p.width) {
		return
	}
	dx, dy := s.x1-s.x0, s.y1-s.y0
	length := float32(math.Sqrt(float64(dx*dx + dy*dy)))
	b := brush{x: s.x0 - 0.5, y: s.y0 - 0.5, length: length, reach: reach,
		peak: min(2*s.half, 1), strength: 255 * s.strength}
	if length > 0 {
		b.ux, b.uy = dx/length, dy/length
	} else {
		b.ux = 1
	}
	mask := p.mask(s.accent)
	if abs(b.ux) >= abs(b.uy) {
		p.drawFlat(mask, &b, y0, y1)
	} else {
		p.drawSteep(mask, &b, y0, y1)
	}
}

// brush is a segment made ready: its start in the grid of pixel centres, its
// direction and what a pixel at a distance is worth.
type brush struct {
	x, y, ux, uy, length, reach, peak, strength float32
}

// cover returns the coverage of the pixel whose centre lies at along and
// across the segment.
func (b *brush) cover(along, across float32) uint8 {
	d := across
	if along < 0 {
		d = hypot(along, across)
	} else if along > b.length {
		d = hypot(along-b.length, across)
	} else if d < 0 {
		d = -d
	}
	c := b.reach - d
	if c <= 0 {
		return 0
	}
	return uint8(min(c, b.peak) * b.strength)
}

// drawFlat goes column by column.
func (p *Painter) drawFlat(mask []uint8, b *brush, y0, y1 int) {
	xa, xb := b.x, b.x+b.ux*b.length
	if xa > xb {
		xa, xb = xb, xa
	}
	from, to := max(ceil(xa-b.reach), 0), min(floor(xb+b.reach), p.width-1)
	slope, spread := b.uy/b.ux, b.reach/abs(b.ux)
	for i := from; i <= to; i++ {
		rx := float32(i) - b.x
		mid := b.y + rx*slope
		for j := max(ceil(mid-spread), y0); j <= min(floor(mid+spread), y1-1); j++ {
			ry := float32(j) - b.y
			if c, at := b.cover(rx*b.ux+ry*b.uy, ry*b.ux-rx*b.uy), j*p.width+i; c > mask[at] {
				mask[at] = c
			}
		}
	}
}

// drawSteep goes row by row.
func (p *Painter) drawSteep(mask []uint8, b *brush, y0, y1 int) {
	ya, yb := b.y, b.y+b.uy*b.length
	if ya > yb {
		ya, yb = yb, ya
	}
	from, to := max(ceil(ya-b.reach), y0), min(floor(yb+b.reach), y1-1)
	slope, spread := b.ux/b.uy, b.reach/abs(b.uy)
	for j := from; j <= to; j++ {
		ry := float32(j) - b.y
		mid := b.x + ry*slope
		row := mask[j*p.width : (j+1)*p.width]
		for i := max(ceil(mid-spread), 0); i <= min(floor(mid+spread), p.width-1); i++ {
			rx := float32(i) - b.x
			if c := b.cover(rx*b.ux+ry*b.uy, ry*b.ux-rx*b.uy); c > row[i] {
				row[i] = c
			}
		}
	}
}

func abs(v float32) float32 {
	if v < 0 {
		return -v
	}
	return v
}

func hypot(a, b float32) float32 { return float32(math.Sqrt(float64(a*a + b*b))) }

func floor(v float32) int {
	i := int(v)
	if float32(i) > v {
		i--
	}
	return i
}

func ceil(v float32) int {
	i := int(v)
	if float32(i) < v {
		i++
	}
	return i
}

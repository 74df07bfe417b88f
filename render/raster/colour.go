package raster

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// erasure is a place where paper shows: a rectangle, or the circle that fits
// into it.
type erasure struct {
	rect  image.Rectangle
	round bool
}

func circleErasure(at r2.Vec, radius, scale float64) erasure {
	r := radius * scale
	return erasure{image.Rect(
		int(math.Floor(at.X*scale-r)), int(math.Floor(at.Y*scale-r)),
		int(math.Ceil(at.X*scale+r)), int(math.Ceil(at.Y*scale+r))), true}
}

func (p *Painter) erase(e *erasure, y0, y1 int) {
	r := e.rect.Intersect(image.Rect(0, y0, p.width, y1))
	cx, cy := float64(e.rect.Min.X+e.rect.Max.X)/2, float64(e.rect.Min.Y+e.rect.Max.Y)/2
	radius := float64(e.rect.Dx()) / 2
	for y := r.Min.Y; y < r.Max.Y; y++ {
		from, to := r.Min.X, r.Max.X
		if e.round {
			half := math.Sqrt(math.Max(0, radius*radius-(float64(y)+0.5-cy)*(float64(y)+0.5-cy)))
			from, to = max(from, int(cx-half)), min(to, int(cx+half))
		}
		if from < to {
			clear(p.ink[y*p.width+from : y*p.width+to])
			clear(p.accent[y*p.width+from : y*p.width+to])
		}
	}
}

// colour lays ink and accent on paper in the rows y0 to y1.
func (p *Painter) colour(dst *image.RGBA, c *drawing.Palette, y0, y1 int) {
	paper := binary.LittleEndian.Uint32([]byte{c.Paper.R, c.Paper.G, c.Paper.B, 255})
	pair := uint64(paper)<<32 | uint64(paper)
	inks := blends(c.Paper, c.Ink)
	for y := y0; y < y1; y++ {
		ink := p.ink[y*p.width : (y+1)*p.width]
		accent := p.accent[y*p.width : (y+1)*p.width]
		row := dst.Pix[y*dst.Stride : y*dst.Stride+4*p.width]
		x := 0
		for ; x+8 <= p.width; x += 8 {
			if binary.LittleEndian.Uint64(ink[x:])|binary.LittleEndian.Uint64(accent[x:]) == 0 {
				for k := 0; k < 32; k += 8 {
					binary.LittleEndian.PutUint64(row[4*x+k:], pair)
				}
				continue
			}
			for k := x; k < x+8; k++ {
				pixel(row[4*k:4*k+4], ink[k], accent[k], &inks, c.Accent)
			}
		}
		for ; x < p.width; x++ {
			pixel(row[4*x:4*x+4], ink[x], accent[x], &inks, c.Accent)
		}
	}
}

func pixel(to []byte, ink, accent uint8, inks *[256]color.RGBA, c color.RGBA) {
	base := inks[ink]
	if accent > 0 {
		base = blend(base, c, accent)
	}
	to[0], to[1], to[2], to[3] = base.R, base.G, base.B, 255
}

// blends returns ink on paper at every coverage.
func blends(paper, ink color.RGBA) (b [256]color.RGBA) {
	for i := range b {
		b[i] = blend(paper, ink, uint8(i))
	}
	return b
}

func blend(under, over color.RGBA, cover uint8) color.RGBA {
	mix := func(a, b uint8) uint8 {
		return uint8((uint32(a)*(255-uint32(cover)) + uint32(b)*uint32(cover) + 127) / 255)
	}
	return color.RGBA{mix(under.R, over.R), mix(under.G, over.G), mix(under.B, over.B), 255}
}

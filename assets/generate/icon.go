package generate

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/fogleman/gg"
	"gonum.org/v1/gonum/spatial/r2"
)

// The icon: a bollard in section on its axis, with cone shells in place of
// hatching as on the sheet; the one being printed is in the sheet's accent.

// iconSize is the icon's width and height, in pixels and in SVG units.
const iconSize = 512

// The sheet's colours (render/drawing has them for the program itself).
const (
	iconPaper  = "#fdfdfb"
	iconInk    = "#141414"
	iconAccent = "#a3221c"
)

// stroke is a shape of the icon, in SVG's frame: y down.
type stroke struct {
	points []r2.Vec
	closed bool
	fill   string // none if empty
	line   string
	width  float64
}

const (
	axisX        = iconSize / 2
	headTop      = 116 // y of the head's crown
	headUnder    = 232 // y of its flat underside
	shellSpacing = 34
)

// section is the right half of the bollard, from the crown to the bed.
var section = []r2.Vec{
	{X: 0, Y: headTop}, {X: 150, Y: 128}, {X: 176, Y: 154}, {X: 176, Y: headUnder},
	{X: 74, Y: headUnder}, {X: 74, Y: 338}, {X: 122, Y: 386}, {X: 122, Y: 420}, {X: 0, Y: 420},
}

func iconStrokes() []stroke {
	var outline []r2.Vec
	for _, p := range section {
		outline = append(outline, r2.Vec{X: axisX + p.X, Y: p.Y})
	}
	for i := len(section) - 2; i > 0; i-- {
		outline = append(outline, r2.Vec{X: axisX - section[i].X, Y: section[i].Y})
	}
	out := axisDashes()
	for apex := headTop - 4*shellSpacing; apex < 420; apex += shellSpacing {
		line, width := iconInk, 7.0
		if apex == headTop {
			line, width = iconAccent, 15
		}
		for _, piece := range shellPieces(float64(apex)) {
			out = append(out, stroke{points: piece, line: line, width: width})
		}
	}
	return append(out, stroke{points: outline, closed: true, line: iconInk, width: 15})
}

// axisDashes is a long-dash dot line down the axis (ISO 128), thinned out to
// what an icon can show.
func axisDashes() []stroke {
	var out []stroke
	for y := 48.0; y < 464; y += 76 {
		for _, dash := range [2][2]float64{{y, y + 44}, {y + 56, y + 64}} {
			out = append(out, stroke{points: []r2.Vec{{X: axisX, Y: dash[0]}, {X: axisX, Y: dash[1]}}, line: iconAccent, width: 7})
		}
	}
	return out
}

// shellPieces are the parts inside the section of a shell that falls by 45
// degrees from its apex, left and right; from the axis they are one.
func shellPieces(apex float64) [][]r2.Vec {
	cuts := []float64{0} // distances from the axis at which it enters or leaves
	for i := 1; i < len(section); i++ {
		p, q := section[i-1], section[i]
		d, e := p.Y-p.X-apex, q.Y-q.X-apex
		if (d < 0) != (e < 0) {
			cuts = append(cuts, p.X+(q.X-p.X)*d/(d-e))
		}
	}
	slices.Sort(cuts)
	if len(cuts)%2 == 1 { // the apex lies outside
		cuts = cuts[1:]
	}
	var out [][]r2.Vec
	for i := 0; i+1 < len(cuts); i += 2 {
		right := []r2.Vec{{X: axisX + cuts[i], Y: apex + cuts[i]}, {X: axisX + cuts[i+1], Y: apex + cuts[i+1]}}
		left := []r2.Vec{{X: axisX - cuts[i+1], Y: apex + cuts[i+1]}, {X: axisX - cuts[i], Y: apex + cuts[i]}}
		if cuts[i] == 0 {
			out = append(out, append(left, right[1]))
			continue
		}
		out = append(out, left, right)
	}
	return out
}

// IconSVG returns the icon as SVG.
func IconSVG() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\">\n", iconSize, iconSize)
	fmt.Fprintf(&b, "<title>Conewright</title>\n<rect x=\"8\" y=\"8\" width=\"496\" height=\"496\" rx=\"88\" fill=\"%s\" stroke=\"%s\" stroke-width=\"8\"/>\n", iconPaper, iconInk)
	for _, s := range iconStrokes() {
		fill, end := "none", ""
		if s.fill != "" {
			fill = s.fill
		}
		if s.closed {
			end = "Z"
		}
		b.WriteString("<path d=\"")
		for i, p := range s.points {
			fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], p.X, p.Y)
		}
		fmt.Fprintf(&b, "%s\" fill=\"%s\" stroke=\"%s\" stroke-width=\"%g\" stroke-linejoin=\"round\"/>\n", end, fill, s.line, s.width)
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// IconPNG returns the icon as PNG, 512 by 512 pixels, transparent round the
// sheet.
func IconPNG() ([]byte, error) {
	dc := gg.NewContext(iconSize, iconSize)
	dc.DrawRoundedRectangle(8, 8, 496, 496, 88)
	dc.SetHexColor(iconPaper)
	dc.FillPreserve()
	dc.SetHexColor(iconInk)
	dc.SetLineWidth(8)
	dc.Stroke()
	dc.SetLineCapButt()
	dc.SetLineJoinRound()
	for _, s := range iconStrokes() {
		for i, p := range s.points {
			if i == 0 {
				dc.MoveTo(p.X, p.Y)
			} else {
				dc.LineTo(p.X, p.Y)
			}
		}
		if s.closed {
			dc.ClosePath()
		}
		if s.fill != "" {
			dc.SetHexColor(s.fill)
			dc.FillPreserve()
		}
		dc.SetHexColor(s.line)
		dc.SetLineWidth(s.width)
		dc.Stroke()
	}
	var buf bytes.Buffer
	if err := dc.EncodePNG(&buf); err != nil {
		return nil, fmt.Errorf("icon: %w", err)
	}
	return buf.Bytes(), nil
}

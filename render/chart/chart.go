// Package chart draws curves for the run log, as SVG.
package chart

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Curve is a quantity over another.
type Curve struct {
	Title  string
	X, Y   string       // what the axes tell, with units
	Points [][2]float64 // x ascending
	Limit  float64      // drawn dashed across; 0: none
}

// Charts are as wide as the sheet's picture in the log's page, and low: three
// of them stand under one another.
const (
	width  = 22 * vg.Centimeter
	height = 4.6 * vg.Centimeter
)

// Ink on paper, as on the sheet. Meaning hangs on the dashes, not on colour.
var ink = color.Gray{Y: 0x1b}

// SVG draws a curve. It fails where there is nothing to draw.
func SVG(c *Curve) ([]byte, error) {
	if len(c.Points) == 0 {
		return nil, fmt.Errorf("chart %q: no points", c.Title)
	}
	points := make(plotter.XYs, len(c.Points))
	for i, p := range c.Points {
		points[i] = plotter.XY{X: p[0], Y: p[1]}
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return nil, fmt.Errorf("chart %q: %w", c.Title, err)
	}
	line.Color, line.Width = ink, vg.Points(0.8)

	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = c.X, c.Y
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Font = font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(9)}
		a.Tick.Label.Font = a.Label.TextStyle.Font
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(ticks(10)), plot.TickerFunc(ticks(4))
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = color.Gray{Y: 0xdc}, color.Gray{Y: 0xdc}
	p.Add(grid, line)
	p.Y.Min = min(p.Y.Min, 0)
	if c.Limit != 0 {
		limit := plotter.NewFunction(func(float64) float64 { return c.Limit })
		limit.Color, limit.Dashes = ink, []vg.Length{vg.Points(4), vg.Points(3)}
		p.Add(limit)
		p.Y.Max = max(p.Y.Max, 1.05*c.Limit)
	}
	canvas := vgsvg.New(width, height)
	p.Draw(draw.Crop(draw.New(canvas), 0, -vg.Points(12), 0, -vg.Points(6))) // for the last figures on the axes
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("chart %q: %w", c.Title, err)
	}
	return fromSVG(out.Bytes()), nil
}

// ticks marks an axis at about n round values: 1, 2 or 5 times a power of ten.
func ticks(n float64) func(lo, hi float64) []plot.Tick {
	return func(lo, hi float64) []plot.Tick {
		if !(hi > lo) {
			return []plot.Tick{{Value: lo, Label: strconv.FormatFloat(lo, 'g', 4, 64)}}
		}
		unit := math.Pow(10, math.Floor(math.Log10((hi-lo)/n)))
		step := unit
		for _, k := range []float64{2, 5, 10} {
			if (hi-lo)/step > n {
				step = k * unit
			}
		}
		var all []plot.Tick
		for i := math.Ceil(lo / step); i*step <= hi; i++ {
			all = append(all, plot.Tick{Value: i * step, Label: strconv.FormatFloat(i*step+0, 'g', 4, 64)})
		}
		return all
	}
}

// fromSVG drops what stands before the svg element: the picture goes into a
// page.
func fromSVG(b []byte) []byte {
	if i := bytes.Index(b, []byte("<svg")); i >= 0 {
		return b[i:]
	}
	return b
}

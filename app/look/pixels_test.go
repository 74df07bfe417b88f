package look

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"testing"

	"conewright/render/drawing"
	"conewright/render/raster"

	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r2"
)

// pixelsPerMM are those of a sheet on a usual screen: the least that the sheet draws,
// the usual, and a screen of twice as many.
var pixelsPerMM = []float64{3.3, 3.6, 7.2}

// painted draws one thing on a small sheet.
func painted(d drawing.Drawing, scale float64, p drawing.Palette) *image.RGBA {
	d.Size = r2.Vec{X: 20, Y: 20}
	img := image.NewRGBA(image.Rect(0, 0, int(20*scale), int(20*scale)))
	raster.Draw(img, &d, raster.Options{Scale: scale, Palette: p})
	return img
}

// most returns the greatest contrast with the paper of the pixels in a rectangle.
func most(img *image.RGBA, r image.Rectangle, paper color.Color) float64 {
	best := 1.0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			best = math.Max(best, contrast(img.RGBAAt(x, y), paper))
		}
	}
	return best
}

// eachPalette calls with the palette of drawings in every look.
func eachPalette(t *testing.T, do func(name string, p drawing.Palette)) {
	app := test.NewTempApp(t)
	for _, shade := range []string{ShadeLight, ShadeDark} {
		for _, high := range []bool{false, true} {
			th := Theme{Shade: shade, Contrast: high}
			app.Settings().SetTheme(th)
			do(fmt.Sprintf("%s, high contrast %v", shade, high), Palette())
		}
	}
}

var tones = []drawing.Tone{drawing.Ink, drawing.Faint, drawing.Accent}

// Every pen in every tone has 3:1 with the paper (WCAG 2.2, success criterion 1.4.11)
// in every row of pixels that it crosses, wherever it lies between them.
func TestPensStandOutFromThePaper(t *testing.T) {
	least := map[string]float64{}
	eachPalette(t, func(name string, p drawing.Palette) {
		least[name] = math.Inf(1)
		for _, scale := range pixelsPerMM {
			for _, pen := range drawing.Pens() {
				for _, tone := range tones {
					for shift := 0.0; shift < 1; shift += 0.125 { // of a pixel
						for _, lean := range []float64{0, 0.3, 1} {
							y := 8 + shift/scale
							line := drawing.Line{Pen: pen, Tone: tone, Points: []r2.Vec{{X: 2, Y: y}, {X: 18, Y: y + 16*lean*0.5}}}
							img := painted(drawing.Drawing{Lines: []drawing.Line{line}}, scale, p)
							// The first millimetre is drawn by every kind of dashes.
							x := int(2.5 * scale)
							got := most(img, image.Rect(x, 0, x+1, img.Rect.Max.Y), p.Paper)
							least[name] = math.Min(least[name], got)
							if got < 3 {
								t.Errorf("%s, %g pixels a mm: %v in tone %v, %g off, lean %g: %.2f", name, scale, pen, tone, shift, lean, got)
								return
							}
						}
					}
				}
			}
		}
	})
	t.Log("least contrast of lines: ", least)
}

// Texts of the sheet have 4.5:1 (WCAG 2.2, success criterion 1.4.3), in all tones.
func TestWordsOfTheSheetStandOutFromThePaper(t *testing.T) {
	least := map[string]float64{}
	eachPalette(t, func(name string, p drawing.Palette) {
		least[name] = math.Inf(1)
		for _, scale := range pixelsPerMM {
			for _, tone := range tones {
				for _, size := range []float64{2.6, 3.5} {
					words := drawing.Text{Role: drawing.Label, Tone: tone, Size: size, At: r2.Vec{X: 2, Y: 10}, Words: "Elm 40°"}
					img := painted(drawing.Drawing{Texts: []drawing.Text{words}}, scale, p)
					got := most(img, img.Rect, p.Paper)
					least[name] = math.Min(least[name], got)
					if got < 4.5 {
						t.Errorf("%s, %g pixels a mm: tone %v, %g mm: %.2f", name, scale, tone, size, got)
					}
				}
			}
		}
	})
	t.Log("least contrast of words: ", least)
}

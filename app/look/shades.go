package look

import (
	"image/color"

	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// shades are the colours of one variant, the rest follows from them.
type shades struct {
	table, paper, input, button, line, border, ink, faint, accent, onAccent, alarm, veil color.NRGBA
	tint                                                                                 uint8 // grey of hover and press
	focus                                                                                uint8 // how dense the accent lies over what has the focus
}

func grey(v, a uint8) color.NRGBA { return color.NRGBA{R: v, G: v, B: v, A: a} }

// written is a colour of texts. The toolkit's menu (v2.7.1, shortcutColor) takes
// the low byte of 0.95 times the alpha for its shortcuts' and so makes them nearly
// invisible. This alpha is as good as opaque and comes out as 0xff there.
type written struct{ of color.NRGBA }

const writtenAlpha = 0xffc9

// RGBA returns the colour as color.Color has it.
func (w written) RGBA() (r, g, b, a uint32) {
	r, g, b, _ = w.of.RGBA()
	return min(r, writtenAlpha), min(g, writtenAlpha), min(b, writtenAlpha), writtenAlpha
}

var light = shades{
	table:    color.NRGBA{R: 0xf4, G: 0xf3, B: 0xef, A: 0xff},
	paper:    color.NRGBA{R: 0xfd, G: 0xfd, B: 0xfb, A: 0xff},
	input:    color.NRGBA{R: 0xec, G: 0xea, B: 0xe5, A: 0xff},
	button:   color.NRGBA{R: 0xdf, G: 0xdd, B: 0xd6, A: 0xff},
	line:     color.NRGBA{R: 0xb0, G: 0xae, B: 0xa6, A: 0xff},
	border:   color.NRGBA{R: 0x80, G: 0x7e, B: 0x77, A: 0xff},
	ink:      color.NRGBA{R: 0x1c, G: 0x1c, B: 0x1a, A: 0xff},
	faint:    color.NRGBA{R: 0x63, G: 0x62, B: 0x5c, A: 0xff},
	accent:   color.NRGBA{R: 0x9c, G: 0x2a, B: 0x1f, A: 0xff},
	onAccent: color.NRGBA{R: 0xff, G: 0xff, B: 0xff, A: 0xff},
	alarm:    color.NRGBA{R: 0x9c, G: 0x2a, B: 0x1f, A: 0xff},
	veil:     color.NRGBA{R: 0xf0, G: 0xef, B: 0xeb, A: 0xe0},
	tint:     0x00, focus: 0x50,
}

var dark = shades{
	table:    color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xff},
	paper:    color.NRGBA{R: 0x25, G: 0x28, B: 0x2a, A: 0xff},
	input:    color.NRGBA{R: 0x30, G: 0x34, B: 0x37, A: 0xff},
	button:   color.NRGBA{R: 0x3b, G: 0x40, B: 0x43, A: 0xff},
	line:     color.NRGBA{R: 0x56, G: 0x5b, B: 0x5e, A: 0xff},
	border:   color.NRGBA{R: 0x88, G: 0x8c, B: 0x8e, A: 0xff},
	ink:      color.NRGBA{R: 0xec, G: 0xeb, B: 0xe6, A: 0xff},
	faint:    color.NRGBA{R: 0xa6, G: 0xa7, B: 0xa4, A: 0xff},
	accent:   color.NRGBA{R: 0xf0, G: 0x8a, B: 0x78, A: 0xff},
	onAccent: color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xff},
	alarm:    color.NRGBA{R: 0xf0, G: 0x8a, B: 0x78, A: 0xff},
	veil:     color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xe0},
	tint:     0xff, focus: 0x50,
}

// High contrast: texts and their grounds differ by at least 7:1, what else must
// be seen by at least 3:1 (WCAG 2.2, success criteria 1.4.6 and 1.4.11; the test
// reckons it). Texts that are faint elsewhere are as black as the others.
var lightContrast = shades{
	table: grey(0xff, 0xff), paper: grey(0xff, 0xff), input: grey(0xea, 0xff), button: grey(0xd8, 0xff),
	line: grey(0, 0xff), border: grey(0, 0xff), ink: grey(0, 0xff), faint: grey(0x20, 0xff),
	accent: color.NRGBA{R: 0x8c, A: 0xff}, onAccent: grey(0xff, 0xff), alarm: color.NRGBA{R: 0x8c, A: 0xff},
	veil: grey(0xff, 0xf0), tint: 0x00, focus: 0x80,
}

var darkContrast = shades{
	table: grey(0, 0xff), paper: grey(0x1c, 0xff), input: grey(0x30, 0xff), button: grey(0x40, 0xff), // menus stand out, though nothing throws a shadow on black
	line: grey(0xff, 0xff), border: grey(0xff, 0xff), ink: grey(0xff, 0xff), faint: grey(0xe0, 0xff),
	accent: color.NRGBA{R: 0xff, G: 0xb0, B: 0x90, A: 0xff}, onAccent: grey(0, 0xff), alarm: color.NRGBA{R: 0xff, G: 0xb0, B: 0x90, A: 0xff},
	veil: grey(0, 0xf0), tint: 0xff, focus: 0x80,
}

// present is the look of the running application; the zero one where that has
// another, as in tests.
func present() Theme {
	t, _ := fyne.CurrentApp().Settings().Theme().(Theme)
	return t
}

// Dark reports whether the running application draws light on dark.
func Dark() bool {
	return present().variant(fyne.CurrentApp().Settings().ThemeVariant()) == theme.VariantDark
}

// Palette returns the colours of drawings in the running application.
func Palette() drawing.Palette {
	isDark, contrast := Dark(), present().Contrast
	switch {
	case isDark && contrast:
		return contrastOf(darkContrast)
	case isDark:
		return drawing.Dark
	case contrast:
		return contrastOf(lightContrast)
	}
	return drawing.Light
}

func contrastOf(s shades) drawing.Palette {
	rgba := func(c color.NRGBA) color.RGBA { return color.RGBA{R: c.R, G: c.G, B: c.B, A: 0xff} }
	return drawing.Palette{Paper: rgba(s.table), Ink: rgba(s.ink), Faint: rgba(s.faint), Accent: rgba(s.accent)}
}

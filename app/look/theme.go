// Package look is the window's own look: drafting paper, thin lines, one
// accent. It holds colours and sizes, no widgets.
package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// Theme is the look as the toolkit takes it. The toolkit decides light or dark.
type Theme struct {
	// TextScale enlarges all texts; 0 is 1.
	TextScale float32
}

var _ fyne.Theme = Theme{}

func grey(v, a uint8) color.NRGBA { return color.NRGBA{R: v, G: v, B: v, A: a} }

// shades are the colours of one variant, the rest follows from them.
type shades struct {
	table, paper, input, button, line, ink, faint, accent, onAccent, alarm, veil color.NRGBA
	tint                                                                         uint8 // grey of hover and press
}

var light = shades{
	table:    color.NRGBA{R: 0xf4, G: 0xf3, B: 0xef, A: 0xff},
	paper:    color.NRGBA{R: 0xfd, G: 0xfd, B: 0xfb, A: 0xff},
	input:    color.NRGBA{R: 0xec, G: 0xea, B: 0xe5, A: 0xff},
	button:   color.NRGBA{R: 0xdf, G: 0xdd, B: 0xd6, A: 0xff},
	line:     color.NRGBA{R: 0xb0, G: 0xae, B: 0xa6, A: 0xff},
	ink:      color.NRGBA{R: 0x1c, G: 0x1c, B: 0x1a, A: 0xff},
	faint:    color.NRGBA{R: 0x63, G: 0x62, B: 0x5c, A: 0xff},
	accent:   color.NRGBA{R: 0x9c, G: 0x2a, B: 0x1f, A: 0xff},
	onAccent: color.NRGBA{R: 0xff, G: 0xff, B: 0xff, A: 0xff},
	alarm:    color.NRGBA{R: 0x9c, G: 0x2a, B: 0x1f, A: 0xff},
	veil:     color.NRGBA{R: 0xf0, G: 0xef, B: 0xeb, A: 0xe0},
	tint:     0x00,
}

var dark = shades{
	table:    color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xff},
	paper:    color.NRGBA{R: 0x25, G: 0x28, B: 0x2a, A: 0xff},
	input:    color.NRGBA{R: 0x30, G: 0x34, B: 0x37, A: 0xff},
	button:   color.NRGBA{R: 0x3b, G: 0x40, B: 0x43, A: 0xff},
	line:     color.NRGBA{R: 0x56, G: 0x5b, B: 0x5e, A: 0xff},
	ink:      color.NRGBA{R: 0xec, G: 0xeb, B: 0xe6, A: 0xff},
	faint:    color.NRGBA{R: 0xa6, G: 0xa7, B: 0xa4, A: 0xff},
	accent:   color.NRGBA{R: 0xf0, G: 0x8a, B: 0x78, A: 0xff},
	onAccent: color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xff},
	alarm:    color.NRGBA{R: 0xf0, G: 0x8a, B: 0x78, A: 0xff},
	veil:     color.NRGBA{R: 0x1b, G: 0x1d, B: 0x1f, A: 0xe0},
	tint:     0xff,
}

func of(v fyne.ThemeVariant) shades {
	if v == theme.VariantDark {
		return dark
	}
	return light
}

// Color returns a colour of the look.
func (Theme) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	s := of(v)
	switch name {
	case theme.ColorNameBackground, theme.ColorNameHeaderBackground:
		return s.table
	case theme.ColorNameOverlayBackground, theme.ColorNameMenuBackground:
		return s.paper
	case theme.ColorNameInputBackground:
		return s.input
	case theme.ColorNameButton:
		return s.button
	case theme.ColorNameForeground, theme.ColorNameHyperlink:
		return s.ink
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return s.faint
	case theme.ColorNamePrimary, theme.ColorNameSuccess:
		return s.ink // the accent is for what is selected or wrong
	case theme.ColorNameWarning:
		return s.accent
	case theme.ColorNameError:
		return s.alarm
	case theme.ColorNameForegroundOnPrimary, theme.ColorNameForegroundOnSuccess:
		return s.paper
	case theme.ColorNameForegroundOnError, theme.ColorNameForegroundOnWarning:
		return s.onAccent
	case theme.ColorNameInputBorder, theme.ColorNameSeparator:
		return s.line
	case theme.ColorNameFocus:
		return color.NRGBA{R: s.accent.R, G: s.accent.G, B: s.accent.B, A: 0x50}
	case theme.ColorNameSelection:
		return color.NRGBA{R: s.accent.R, G: s.accent.G, B: s.accent.B, A: 0x38}
	case theme.ColorNameHover:
		return grey(s.tint, 0x0e)
	case theme.ColorNamePressed:
		return grey(s.tint, 0x20)
	case theme.ColorNameDisabledButton:
		return s.table
	case theme.ColorNameScrollBar:
		return color.NRGBA{R: s.faint.R, G: s.faint.G, B: s.faint.B, A: 0x80}
	case theme.ColorNameScrollBarBackground:
		return color.Transparent
	case theme.ColorNameShadow:
		return grey(0, 0x30)
	}
	return theme.DefaultTheme().Color(name, v)
}

// Size returns a measure of the look: smaller and squarer than the toolkit's.
func (t Theme) Size(name fyne.ThemeSizeName) float32 {
	k := t.TextScale
	if k == 0 {
		k = 1
	}
	switch name {
	case theme.SizeNameText:
		return 13 * k
	case theme.SizeNameCaptionText:
		return 11.5 * k
	case theme.SizeNameSubHeadingText:
		return 15 * k
	case theme.SizeNameHeadingText:
		return 19 * k
	case theme.SizeNameInnerPadding:
		return 6
	case theme.SizeNamePadding:
		return 4
	case theme.SizeNameLineSpacing:
		return 3
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 2
	case theme.SizeNameInlineIcon:
		return 17 * k
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarRadius:
		return 2
	}
	return theme.DefaultTheme().Size(name)
}

// Font returns the toolkit's font: it holds the signs of every language here.
func (Theme) Font(style fyne.TextStyle) fyne.Resource { return theme.DefaultTheme().Font(style) }

// Icon returns the toolkit's icon.
func (Theme) Icon(name fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(name) }

// Dark reports whether the running application draws light on dark.
func Dark() bool {
	return fyne.CurrentApp().Settings().ThemeVariant() == theme.VariantDark
}

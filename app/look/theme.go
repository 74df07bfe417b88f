// Package look is the window's own look: drafting paper, thin lines, one
// accent. It holds colours and sizes, no widgets.
package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// Theme is the look as the toolkit takes it.
type Theme struct {
	// TextScale enlarges all texts; 0 is 1.
	TextScale float32
	// Contrast draws in black and white, without greys.
	Contrast bool
	// Shade is light or dark; "": the system decides.
	Shade string
}

// Shades that a user can choose.
const (
	ShadeLight = "light"
	ShadeDark  = "dark"
)

var _ fyne.Theme = Theme{}

// variant is light or dark: as chosen, else as the system says.
func (t Theme) variant(system fyne.ThemeVariant) fyne.ThemeVariant {
	switch t.Shade {
	case ShadeLight:
		return theme.VariantLight
	case ShadeDark:
		return theme.VariantDark
	}
	return system
}

func (t Theme) shades(system fyne.ThemeVariant) shades {
	isDark := t.variant(system) == theme.VariantDark
	switch {
	case isDark && t.Contrast:
		return darkContrast
	case isDark:
		return dark
	case t.Contrast:
		return lightContrast
	}
	return light
}

// Color returns a colour of the look.
func (t Theme) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	s := t.shades(v)
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
		return written{s.ink}
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
	case theme.ColorNameInputBorder:
		return s.border
	case theme.ColorNameSeparator:
		return s.line
	case theme.ColorNameFocus:
		return color.NRGBA{R: s.accent.R, G: s.accent.G, B: s.accent.B, A: s.focus}
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
	return theme.DefaultTheme().Color(name, t.variant(v))
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

// Track is the application's look with slides that are seen: the toolkit draws
// a slider's track in the colour of fields, which are framed where they need be.
type Track struct{}

var _ fyne.Theme = Track{}

// Color returns the frames' colour for the track.
func (Track) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	if name == theme.ColorNameInputBackground {
		name = theme.ColorNameSeparator
	}
	return fyne.CurrentApp().Settings().Theme().Color(name, v)
}

// Font is the application's.
func (Track) Font(style fyne.TextStyle) fyne.Resource {
	return fyne.CurrentApp().Settings().Theme().Font(style)
}

// Icon is the application's.
func (Track) Icon(name fyne.ThemeIconName) fyne.Resource {
	return fyne.CurrentApp().Settings().Theme().Icon(name)
}

// Size is the application's.
func (Track) Size(name fyne.ThemeSizeName) float32 {
	return fyne.CurrentApp().Settings().Theme().Size(name)
}

package look

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// luminance is the relative luminance of WCAG 2.2 (definition "relative
// luminance"), 0..1.
func luminance(c color.Color) float64 {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n.R) + 0.7152*linear(n.G) + 0.0722*linear(n.B)
}

// contrast is WCAG 2.2's contrast ratio, 1..21.
func contrast(a, b color.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

func TestContrastRatioIsWCAGs(t *testing.T) {
	// Black on white is 21:1 (WCAG 2.2, "contrast ratio"); #777 on white is 4.48:1
	// (WCAG's working examples; value from memory).
	if got := contrast(color.Black, color.White); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white: %g", got)
	}
	if got := contrast(color.NRGBA{0x77, 0x77, 0x77, 0xff}, color.White); math.Abs(got-4.48) > 0.01 {
		t.Errorf("#777 on white: %g", got)
	}
}

// Texts need 4.5:1, with high contrast 7:1; frames and signs 3:1 (WCAG 2.2,
// success criteria 1.4.3, 1.4.6 and 1.4.11).
func TestTextsStandOutFromTheirGround(t *testing.T) {
	texts := []fyne.ThemeColorName{theme.ColorNameForeground, theme.ColorNamePlaceHolder, theme.ColorNameDisabled,
		theme.ColorNameError, theme.ColorNameWarning, theme.ColorNamePrimary}
	grounds := []fyne.ThemeColorName{theme.ColorNameBackground, theme.ColorNameMenuBackground, theme.ColorNameInputBackground,
		theme.ColorNameOverlayBackground}
	for _, shade := range []string{ShadeLight, ShadeDark} {
		for _, high := range []bool{false, true} {
			th := Theme{Shade: shade, Contrast: high}
			least := 4.5
			if high {
				least = 7
			}
			see := func(text, ground fyne.ThemeColorName, least float64) {
				// The other variant: the shade chosen counts, not the system's.
				v := theme.VariantLight
				if shade == ShadeLight {
					v = theme.VariantDark
				}
				if got := contrast(th.Color(text, v), th.Color(ground, v)); got < least {
					t.Errorf("%s: %s on %s: %.1f, want %g", fmt.Sprintf("%+v", th), text, ground, got, least)
				}
			}
			for _, text := range texts {
				for _, ground := range grounds {
					see(text, ground, least)
				}
			}
			see(theme.ColorNameForeground, theme.ColorNameButton, least)
			see(theme.ColorNameForegroundOnPrimary, theme.ColorNamePrimary, least)
			see(theme.ColorNameForegroundOnError, theme.ColorNameError, least)
			see(theme.ColorNameInputBorder, theme.ColorNameInputBackground, 3)
			see(theme.ColorNameInputBorder, theme.ColorNameBackground, 3)
			see(theme.ColorNameInputBorder, theme.ColorNameMenuBackground, 3)
			if high {
				see(theme.ColorNameSeparator, theme.ColorNameBackground, 3)
			}
		}
	}
}

func TestTextsScale(t *testing.T) {
	if got := (Theme{TextScale: 1.5}).Size(theme.SizeNameText); got != 1.5*(Theme{}).Size(theme.SizeNameText) {
		t.Errorf("%g", got)
	}
}

// What the toolkit's menu makes of a text's colour for its shortcuts.
func TestShortcutsInMenusCanBeRead(t *testing.T) {
	for _, shade := range []string{ShadeLight, ShadeDark} {
		for _, high := range []bool{false, true} {
			th := Theme{Shade: shade, Contrast: high}
			c := th.Color(theme.ColorNameForeground, theme.VariantLight)
			r, g, b, a := c.RGBA()
			a = uint32(float32(a) * 0.95)
			shown := color.NRGBA{R: uint8(r), G: uint8(g), B: uint8(b), A: uint8(a)}
			if shown.A < 0xf0 {
				t.Errorf("%+v: alpha %#x", th, shown.A)
			}
			shown.A = 0xff
			if got := contrast(shown, th.Color(theme.ColorNameMenuBackground, theme.VariantLight)); got < 4.5 {
				t.Errorf("%+v: %.1f", th, got)
			}
			plain := color.NRGBAModel.Convert(c).(color.NRGBA)
			if want := th.shades(theme.VariantLight).ink; plain.A != 0xff || max(plain.R, want.R)-min(plain.R, want.R) > 1 {
				t.Errorf("%+v: %v, want %v", th, plain, want)
			}
		}
	}
}

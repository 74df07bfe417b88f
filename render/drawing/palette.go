package drawing

import "image/color"

// Palette gives the tones their colours.
type Palette struct {
	Paper, Ink, Faint, Accent color.RGBA
}

// Light is black on white, for paper and bright screens.
var Light = Palette{
	Paper:  color.RGBA{0xfd, 0xfd, 0xfb, 0xff},
	Ink:    color.RGBA{0x14, 0x14, 0x14, 0xff},
	Faint:  color.RGBA{0x5c, 0x5c, 0x5a, 0xff},
	Accent: color.RGBA{0xa3, 0x22, 0x1c, 0xff},
}

// Dark is white on dark.
var Dark = Palette{
	Paper:  color.RGBA{0x17, 0x19, 0x1b, 0xff},
	Ink:    color.RGBA{0xf0, 0xf0, 0xec, 0xff},
	Faint:  color.RGBA{0xa2, 0xa4, 0xa4, 0xff},
	Accent: color.RGBA{0xff, 0x86, 0x74, 0xff},
}

// Print is black on white without any shade, for paper.
var Print = Palette{
	Paper:  color.RGBA{0xff, 0xff, 0xff, 0xff},
	Ink:    color.RGBA{0, 0, 0, 0xff},
	Faint:  color.RGBA{0x40, 0x40, 0x40, 0xff},
	Accent: color.RGBA{0xa3, 0x22, 0x1c, 0xff},
}

// Of returns the colour of a tone.
func (p *Palette) Of(t Tone) color.RGBA {
	switch t {
	case Faint:
		return p.Faint
	case Accent:
		return p.Accent
	}
	return p.Ink
}

// Bolder is how many times wider than its pen a line in the accent tone is
// drawn: what is selected shows without colour too.
const Bolder = 1.6

// Width returns the width of the line on paper, mm.
func (l *Line) Width() float64 {
	if l.Tone == Accent {
		return l.Pen.Width() * Bolder
	}
	return l.Pen.Width()
}

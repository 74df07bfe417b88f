// Package output writes drawings as files: SVG for the run log and the screen,
// PDF for paper. The same drawing always gives the same bytes.
package output

import "conewright/render/drawing"

// Options tell how a drawing is written; the zero value prints black on white.
type Options struct {
	Palette drawing.Palette // zero: drawing.Print
	Title   string          // of the document
	Clear   bool            // SVG without a ground, to lie over another picture
}

func (o *Options) palette() drawing.Palette {
	if o.Palette == (drawing.Palette{}) {
		return drawing.Print
	}
	return o.Palette
}

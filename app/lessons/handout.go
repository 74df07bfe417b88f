package lessons

import (
	"bytes"

	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/output"

	"gonum.org/v1/gonum/spatial/r2"
)

// Handout is a sheet for a class, without any words but its own.
type Handout struct {
	Input render.Input
	Title string // of the document
}

// A4, mm.
const (
	paperLong  = 297.0
	paperShort = 210.0
)

// PDF returns the handout as a document of one page of A4, lying.
func (h Handout) PDF() ([]byte, error) {
	in := h.Input
	in.Options.Size = r2.Vec{X: paperLong, Y: paperShort}
	return document(h.Title, []*drawing.Drawing{render.Sheet(in)})
}

func document(title string, pages []*drawing.Drawing) ([]byte, error) {
	var b bytes.Buffer
	if err := output.PDF(&b, output.Options{Title: title}, pages...); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

package pictures

import (
	"bytes"

	"conewright/render/drawing"
	"conewright/render/svg"
)

// SVG returns a drawing as an SVG file.
func SVG(d *drawing.Drawing) ([]byte, error) {
	var b bytes.Buffer
	if err := svg.Write(&b, d, svg.Options{}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

package pictures

import (
	"bytes"

	"conewright/render/drawing"
	"conewright/render/output"
)

// SVG returns a drawing as an SVG file.
func SVG(d *drawing.Drawing) ([]byte, error) {
	var b bytes.Buffer
	if err := output.SVG(&b, d, output.Options{}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

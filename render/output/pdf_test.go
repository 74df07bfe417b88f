package output_test

import (
	"bytes"
	"errors"
	"os/exec"
	"strings"
	"testing"

	"conewright/render/drawing"
	"conewright/render/output"

	"gonum.org/v1/gonum/spatial/r2"
)

func sheet() *drawing.Drawing {
	d := &drawing.Drawing{Size: r2.Vec{X: 210, Y: 148}}
	for i, pen := range drawing.Pens() {
		y := 10 + 8*float64(i)
		d.Lines = append(d.Lines, drawing.Line{Pen: pen, Tone: drawing.Tone(i % 3), Points: []r2.Vec{{X: 10, Y: y}, {X: 100, Y: y}, {X: 100, Y: y + 4}}, Closed: i%2 == 0})
	}
	d.Marks = []drawing.Mark{{At: r2.Vec{X: 150, Y: 50}, Radius: 3, Item: drawing.Item{Kind: drawing.MidAirItem}}}
	d.Texts = []drawing.Text{
		{At: r2.Vec{X: 120, Y: 100}, Size: 4, Words: "Elevation 45.0° ÄÖ Δ Проба 漢 \U0001F600 \x01"},
		{At: r2.Vec{X: 120, Y: 120}, Size: 4, Words: "turned", Turned: true, Halo: true, Anchor: drawing.Middle},
	}
	return d
}

func TestTheSameDrawingGivesTheSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := output.PDF(w, output.Options{Title: "Test"}, sheet()); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two writings differ")
	}
	if !bytes.HasPrefix(a.Bytes(), []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(a.Bytes()), []byte("%%EOF")) {
		t.Error("not a PDF")
	}
}

// TestOthersReadIt asks pdftotext of Debian's poppler-utils, where installed.
func TestOthersReadIt(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext isn't installed")
	}
	var b, out bytes.Buffer
	if err := output.PDF(&b, output.Options{}, sheet()); err != nil {
		t.Fatal(err)
	}
	read := exec.Command(tool, "-", "-")
	read.Stdin, read.Stdout = &b, &out
	if err := read.Run(); err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"Elevation 45.0° ÄÖ Δ Проба", "turned"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q isn't in %q", words, out.String())
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestErrorsOfTheWriterComeBack(t *testing.T) {
	if err := output.PDF(full{}, output.Options{}, sheet()); err == nil {
		t.Error("a failed writing passed for done")
	}
}

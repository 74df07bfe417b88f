package output

import (
	"fmt"
	"image/color"
	"io"
	"strings"
	"time"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/goregular"
	"gonum.org/v1/gonum/spatial/r2"
)

// stillDate stands in for the time of writing: the same drawing must give the
// same bytes. 1 January 2000 means nothing.
var stillDate = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// family is the font's name in the file.
const family = "go"

// PDF writes drawings to w as a document, each a page of its own size: lines as
// lines, words as words in the drawing's own font.
func PDF(w io.Writer, o Options, pages ...*drawing.Drawing) error {
	first := fpdf.SizeType{Wd: 210, Ht: 297}
	if len(pages) > 0 {
		first = sizeOf(pages[0])
	}
	p := page{Fpdf: fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: first}), palette: o.palette()}
	p.SetCreationDate(stillDate)
	p.SetModificationDate(stillDate)
	p.SetCatalogSort(true)
	p.SetTitle(o.Title, true)
	p.SetMargins(0, 0, 0)
	p.SetAutoPageBreak(false, 0)
	p.AddUTF8FontFromBytes(family, "", goregular.TTF)
	for _, d := range pages {
		p.AddPageFormat("P", sizeOf(d))
		p.draw(d)
	}
	if err := p.Output(w); err != nil {
		return fmt.Errorf("writing the drawing as PDF: %w", err)
	}
	return nil
}

func sizeOf(d *drawing.Drawing) fpdf.SizeType { return fpdf.SizeType{Wd: d.Size.X, Ht: d.Size.Y} }

// page is a page being drawn.
type page struct {
	*fpdf.Fpdf
	palette drawing.Palette
}

func (p *page) draw(d *drawing.Drawing) {
	p.fill(p.palette.Paper)
	p.Rect(0, 0, d.Size.X, d.Size.Y, "F")
	p.SetLineJoinStyle("round")
	for _, pen := range drawing.Pens() {
		for i := range d.Lines {
			if l := &d.Lines[i]; l.Pen == pen && len(l.Points) > 1 {
				p.line(l)
			}
		}
	}
	p.SetDashPattern(nil, 0)
	p.SetLineCapStyle("round")
	for i := range d.Marks {
		p.mark(&d.Marks[i])
	}
	for i := range d.Texts {
		p.text(&d.Texts[i])
	}
}

func (p *page) fill(c color.RGBA)   { p.SetFillColor(int(c.R), int(c.G), int(c.B)) }
func (p *page) stroke(c color.RGBA) { p.SetDrawColor(int(c.R), int(c.G), int(c.B)) }

func (p *page) line(l *drawing.Line) {
	p.stroke(p.palette.Of(l.Tone))
	p.SetLineWidth(l.Width())
	dashes := l.Pen.Dashes()
	p.SetDashPattern(dashes, 0)
	p.SetLineCapStyle("round")
	if dashes != nil {
		p.SetLineCapStyle("butt")
	}
	p.path(l.Points)
	if l.Closed {
		p.ClosePath()
	}
	p.DrawPath("D")
}

func (p *page) path(points []r2.Vec) {
	p.MoveTo(points[0].X, points[0].Y)
	for _, q := range points[1:] {
		p.LineTo(q.X, q.Y)
	}
}

func (p *page) mark(m *drawing.Mark) {
	p.stroke(p.palette.Of(m.Tone))
	p.fill(p.palette.Paper)
	p.SetLineWidth(drawing.Symbol.Width())
	p.Circle(m.At.X, m.At.Y, m.Radius, "DF")
	for _, s := range m.Strokes() {
		p.path(s)
		p.DrawPath("D")
	}
}

const pointsPerMM = 72 / 25.4

// text writes words; letters outside the Basic Multilingual Plane, which the
// PDF writer can't hold, become question marks.
func (p *page) text(t *drawing.Text) {
	words := strings.Map(func(r rune) rune {
		switch {
		case r < ' ':
			return ' '
		case r > 0xffff:
			return '?'
		}
		return r
	}, t.Words)
	run := lettering.Width(words, t.Size)
	at := t.At
	at.X -= run * [...]float64{0, 0.5, 1}[t.Anchor]
	if t.Turned {
		p.TransformBegin()
		p.TransformRotate(90, t.At.X, t.At.Y)
		defer p.TransformEnd()
	}
	if t.Halo {
		p.fill(p.palette.Paper)
		p.Rect(at.X-0.4, at.Y-t.Size*0.8, run+0.8, t.Size, "F")
	}
	c := p.palette.Of(t.Tone)
	p.SetTextColor(int(c.R), int(c.G), int(c.B))
	p.SetFont(family, "", t.Size*pointsPerMM)
	p.Text(at.X, at.Y, words)
}

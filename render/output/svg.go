package output

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"

	"conewright/render/drawing"
	"conewright/render/lettering"
)

// SVG writes d to w as SVG 1.1: a group for each view and pen, its lines as one
// path. The only errors are those of w.
func SVG(w io.Writer, d *drawing.Drawing, o Options) error {
	e := encoder{drawing: d, palette: o.palette()}
	e.open(o.Clear)
	for _, v := range drawing.Views() {
		e.view(v, o.Clear)
	}
	e.WriteString("</svg>\n")
	_, err := w.Write(e.Bytes())
	return err
}

type encoder struct {
	bytes.Buffer
	drawing *drawing.Drawing
	palette drawing.Palette
	lines   [][]*drawing.Line // of the view being written, by pen and tone
}

const tones = 3

func (e *encoder) open(clear bool) {
	w, h := number(e.drawing.Size.X), number(e.drawing.Size.Y)
	fmt.Fprintf(e, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">`+"\n", w, h, w, h)
	if !clear {
		fmt.Fprintf(e, `<rect width="%s" height="%s" fill="%s"/>`+"\n", w, h, hex(e.palette.Paper))
	}
}

func (e *encoder) view(v drawing.View, clear bool) {
	name := "id" // several on one page can't share it
	if clear {
		name = "class"
	}
	fmt.Fprintf(e, `<g %s="%s" fill="none" stroke-linecap="round" stroke-linejoin="round">`+"\n", name, v)
	e.sortLines(v)
	for _, p := range drawing.Pens() {
		for t := range tones {
			e.path(p, drawing.Tone(t))
		}
	}
	for i := range e.drawing.Marks {
		if m := &e.drawing.Marks[i]; m.View == v {
			e.mark(m)
		}
	}
	for i := range e.drawing.Texts {
		if t := &e.drawing.Texts[i]; t.View == v {
			e.text(t)
		}
	}
	e.WriteString("</g>\n")
}

func (e *encoder) sortLines(v drawing.View) {
	e.lines = make([][]*drawing.Line, len(drawing.Pens())*tones)
	for i := range e.drawing.Lines {
		if l := &e.drawing.Lines[i]; l.View == v && len(l.Points) > 1 {
			k := int(l.Pen)*tones + int(l.Tone)
			e.lines[k] = append(e.lines[k], l)
		}
	}
}

func (e *encoder) path(p drawing.Pen, t drawing.Tone) {
	lines := e.lines[int(p)*tones+int(t)]
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(e, `<path class="%s" stroke="%s" stroke-width="%s"`, p, hex(e.palette.Of(t)), number(lines[0].Width()))
	if dashes := p.Dashes(); dashes != nil {
		e.WriteString(` stroke-linecap="butt" stroke-dasharray="`)
		for i, d := range dashes {
			if i > 0 {
				e.WriteByte(' ')
			}
			e.WriteString(number(d))
		}
		e.WriteByte('"')
	}
	e.WriteString(` d="`)
	for _, l := range lines {
		e.line(l)
	}
	e.WriteString("\"/>\n")
}

// grid is the step of coordinates in the file: hundredths of a millimetre.
const grid = 100

// line writes a polyline in steps from point to point, rounded so that errors
// don't add up.
func (e *encoder) line(l *drawing.Line) {
	x, y := int(math.Round(l.Points[0].X*grid)), int(math.Round(l.Points[0].Y*grid))
	e.WriteByte('M')
	e.pair(x, y)
	first := true
	for _, p := range l.Points[1:] {
		nx, ny := int(math.Round(p.X*grid)), int(math.Round(p.Y*grid))
		if nx == x && ny == y && !first {
			continue
		}
		if first {
			e.WriteByte('l')
		} else if nx-x >= 0 {
			e.WriteByte(' ')
		}
		e.pair(nx-x, ny-y)
		x, y, first = nx, ny, false
	}
	if l.Closed {
		e.WriteByte('z')
	}
}

// pair writes two numbers of the grid; a minus parts them as well as a blank.
func (e *encoder) pair(x, y int) {
	e.Write(appendGrid(e.AvailableBuffer(), x))
	if y >= 0 {
		e.WriteByte(' ')
	}
	e.Write(appendGrid(e.AvailableBuffer(), y))
}

func appendGrid(b []byte, v int) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	if v >= grid || v == 0 {
		b = strconv.AppendInt(b, int64(v/grid), 10)
	}
	if rest := v % grid; rest > 0 {
		b = append(b, '.', byte('0'+rest/10))
		if rest%10 > 0 {
			b = append(b, byte('0'+rest%10))
		}
	}
	return b
}

func (e *encoder) mark(m *drawing.Mark) {
	stroke := hex(e.palette.Of(m.Tone))
	fmt.Fprintf(e, `<g class="mark" stroke="%s" stroke-width="%s"><circle cx="%s" cy="%s" r="%s" fill="%s"/>`,
		stroke, number(drawing.Symbol.Width()), number(m.At.X), number(m.At.Y), number(m.Radius), hex(e.palette.Paper))
	if strokes := m.Strokes(); len(strokes) > 0 {
		e.WriteString(`<path d="`)
		for _, s := range strokes {
			e.line(&drawing.Line{Points: s})
		}
		e.WriteString(`"/>`)
	}
	e.WriteString("</g>\n")
}

var anchors = [...]string{"start", "middle", "end"}

func (e *encoder) text(t *drawing.Text) {
	fmt.Fprintf(e, `<text x="%s" y="%s" font-family="Go, Arimo, Helvetica, 'Liberation Sans', sans-serif" font-size="%s" fill="%s"`,
		number(t.At.X), number(t.At.Y), number(t.Size), hex(e.palette.Of(t.Tone)))
	if t.Anchor != drawing.Start {
		fmt.Fprintf(e, ` text-anchor="%s"`, anchors[t.Anchor])
	}
	if run := lettering.Width(t.Words, t.Size); run > 0 {
		// whatever font stands in, words take the room that they were given
		fmt.Fprintf(e, ` textLength="%s" lengthAdjust="spacingAndGlyphs"`, number(run))
	}
	if t.Turned {
		fmt.Fprintf(e, ` transform="rotate(-90 %s %s)"`, number(t.At.X), number(t.At.Y))
	}
	if t.Halo {
		fmt.Fprintf(e, ` paint-order="stroke" stroke="%s" stroke-width="%s"`, hex(e.palette.Paper), number(t.Size/3))
	}
	e.WriteByte('>')
	escape(&e.Buffer, t.Words)
	e.WriteString("</text>\n")
}

// escape writes words as XML character data; characters that XML forbids
// become spaces.
func escape(b *bytes.Buffer, words string) {
	for _, r := range words {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r < ' ' || r == 0xfffe || r == 0xffff:
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func number(v float64) string {
	return string(appendGrid(nil, int(math.Round(v*grid))))
}

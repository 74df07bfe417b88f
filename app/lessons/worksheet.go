package lessons

import (
	"math"

	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Worksheets returns worksheets as a document, a page of A4 a lesson: the question
// with its drawing as it stands before the change, the exercise, and room to write.
// The teacher's key follows on pages of its own. Draw gives a setup's sheet in the
// usual look; dir is where demo jobs may be unpacked.
func Worksheets(list []Lesson, dir string, draw func(*job.Setup) (render.Input, error)) ([]byte, error) {
	var pages []*drawing.Drawing
	for i := range list {
		l := &list[i]
		setup, err := l.setup(dir, false)
		if err != nil {
			return nil, err
		}
		in, err := draw(setup)
		if err != nil {
			return nil, err
		}
		in.View = render.View{Azimuth: l.Azimuth * math.Pi / 180, Elevation: l.Elevation * math.Pi / 180, Set: true}
		in.Warp, in.Bed = l.WarpBefore, nil // the part is what counts
		pages = append(pages, l.worksheet(in))
	}
	title := i18n.T("lesson.worksheets")
	return document(title, append(pages, teachersKey(list)...))
}

// Margins of a worksheet, mm: 20 at the left, where it is filed, 10 elsewhere, as
// frames of drawings have (ISO 5457, from memory).
const (
	leftMargin = 20.0
	margin     = 10.0
)

// Measures of a worksheet, mm.
const (
	sheetHeight = 134.0 // of its drawing: parts of 60 mm at 1:2
	writingStep = 10.0  // between lines to write on
	tickBox     = 4.0
)

// number is the lesson's in the course, from 1.
func (l *Lesson) number() int {
	for i, other := range All() {
		if other.Key == l.Key {
			return i + 1
		}
	}
	return 0
}

func (l *Lesson) words(part string) string { return i18n.T("lesson." + l.Key + "." + part) }

func (l *Lesson) heading() string { return i18n.Integer(l.number()) + "  " + l.words("title") }

// worksheet lays out the page of a lesson.
func (l *Lesson) worksheet(in render.Input) *drawing.Drawing {
	p := newPage(paperShort, paperLong, leftMargin, margin, margin)
	l.writeHead(p)
	p.line(titleLetters, l.heading())
	p.y += 1
	p.paragraph(letters, 0, l.words("ask"))
	for i := range Choices {
		p.y += letters * lineStep * 1.25
		p.square(p.left+1, p.y, tickBox)
		p.put(p.left+8, p.y, letters, letter(i)+"   "+l.words(parts[i]))
	}
	p.y += 5
	// The drawing's frame begins and ends where the words do.
	in.Options.Size = r2.Vec{X: p.right - p.left, Y: sheetHeight}
	in.Options.Screen = true
	p.place(render.Sheet(in), r2.Vec{X: p.left, Y: p.y})
	p.y += sheetHeight + 4
	p.paragraph(letters, 0, i18n.T("lesson.because"))
	for range 2 {
		p.y += writingStep
		p.rule(p.left, p.right, p.y)
	}
	p.y += 4
	p.paragraph(letters, 0, i18n.T("lesson.exercise")+": "+l.words("task"))
	for p.y+writingStep < p.Size.Y-margin-writingStep {
		p.y += writingStep
		p.rule(p.left, p.right, p.y)
	}
	p.put(p.left, p.Size.Y-margin-1, letters, i18n.T("lesson.result")+":")
	p.rule(p.left+40, p.left+90, p.Size.Y-margin)
	p.put(p.left+92, p.Size.Y-margin-1, letters, l.Answer.Unit)
	return p.Drawing
}

// parts are the ends of the keys of answers offered.
var parts = [Choices]string{"a", "b", "c"}

// writeHead leaves room for name and date.
func (l *Lesson) writeHead(p *page) {
	y := p.y + 6
	p.put(p.left, y, letters, i18n.T("lesson.name")+":")
	p.rule(p.left+18, p.left+110, y+1)
	p.put(p.left+116, y, letters, i18n.T("lesson.date")+":")
	p.rule(p.left+134, p.right, y+1)
	p.y = y + 3
}

// teachersKey lists the answers of lessons and why.
func teachersKey(list []Lesson) []*drawing.Drawing {
	var pages []*drawing.Drawing
	var p *page
	begin := func() {
		p = newPage(paperShort, paperLong, leftMargin, margin, margin)
		p.line(titleLetters, i18n.T("lesson.key"))
		p.y += 2
		pages = append(pages, p.Drawing)
	}
	begin()
	for i := range list {
		l := &list[i]
		lines := []string{
			letter(l.Right) + "   " + l.words(parts[l.Right]),
			l.words("came"),
			i18n.T("lesson.exercise") + ": " + l.words("task"),
			l.words("solved"),
		}
		need := letters * (lineStep + 1)
		for _, words := range lines {
			need += p.height(smallLetters, 6, words)
		}
		if p.y+need > paperLong-margin {
			begin()
		}
		p.line(letters, l.heading())
		p.y += 0.5
		for _, words := range lines {
			p.paragraph(smallLetters, 6, words)
		}
		p.y += letters * 0.5
	}
	return pages
}

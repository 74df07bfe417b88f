package window

import (
	"slices"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// pairRows are rows for a list of number pairs of a field: the points of its line, or
// the knots of its curve. Rows are made as they are needed and kept.
type pairRows struct {
	z        *zonesPage
	caption  func(row string) string // of a row of a number
	step     string                  // name of the step that a change is
	decimals [2]int
	by       [2]float64 // what an arrow key adds
	most     int        // pairs
	fixed    bool       // the first pair can't be removed, nor its first number be changed
	at       func(*job.Field) *[][2]float64
	next     func(list [][2]float64) [2]float64 // the pair that is added
	header   []fyne.CanvasObject                // what the two numbers are
	rows     []*pairRow
	add      *focus.Button
}

// pairRow is a row of two numbers and a button that removes it.
type pairRow struct {
	numbers [2]*numberField
	remove  *focus.Button
	objects []fyne.CanvasObject
}

// Greatest numbers of points and knots (CONTRACT, FIELD).
const (
	mostPoints = 32
	mostKnots  = 64
)

// pointApart and knotApart are how far from the last one a point or knot is added
// where nothing tells better, mm.
const pointApart, knotApart = 20.0, 10.0

func (z *zonesPage) newPointRows() *pairRows {
	p := &pairRows{z: z, caption: func(row string) string { return i18n.T("zones.point", "n", row) }, step: "step.line", decimals: [2]int{1, 1}, by: [2]float64{0.1, 0.1}, most: mostPoints,
		at: func(f *job.Field) *[][2]float64 { return &f.Line }, next: nextPoint}
	p.header = pairHeader(i18n.T("zones.pointx"), i18n.T("zones.pointy"))
	p.add = focus.NewButton(i18n.T("zones.addpoint"), p.append)
	return p
}

func (z *zonesPage) newKnotRows() *pairRows {
	p := &pairRows{z: z, caption: func(row string) string { return i18n.T("zones.knot", "n", row) }, step: "step.curve", decimals: [2]int{1, 1}, by: [2]float64{0.1, 1}, most: mostKnots, fixed: true,
		at: func(f *job.Field) *[][2]float64 { return &f.Curve }, next: nextKnot}
	p.header = pairHeader(i18n.T("zones.knotfrom"), i18n.T("zones.knotangle"))
	p.add = focus.NewButton(i18n.T("zones.addknot"), p.append)
	return p
}

// pairHeader names the two numbers of the rows under it.
func pairHeader(first, second string) []fyne.CanvasObject {
	names := [2]*widget.Label{remark(), remark()}
	for i, text := range [2]string{first, second} {
		names[i].Wrapping = fyne.TextWrapOff
		names[i].SetText(text)
	}
	return []fyne.CanvasObject{caption(""), container.NewGridWithColumns(2, names[0], names[1])}
}

// nextPoint goes on from the last segment by its own length.
func nextPoint(line [][2]float64) [2]float64 {
	n := len(line)
	last := line[n-1]
	if n == 1 {
		return [2]float64{onGrid(last[0] + pointApart), last[1]}
	}
	before := line[n-2]
	return [2]float64{onGrid(2*last[0] - before[0]), onGrid(2*last[1] - before[1])}
}

// nextKnot lies farther out at the angle of the last.
func nextKnot(curve [][2]float64) [2]float64 {
	last := curve[len(curve)-1]
	return [2]float64{onGrid(last[0] + knotApart), last[1]}
}

func (p *pairRows) append() {
	p.z.change(p.step, func(_ *job.Setup, f *job.Field) {
		if list := p.at(f); len(*list) > 0 && len(*list) < p.most {
			*list = append(*list, p.next(*list))
		}
	})
}

func (p *pairRows) newRow(i int) *pairRow {
	r := &pairRow{}
	for k := range r.numbers {
		r.numbers[k] = p.z.number(p.decimals[k], p.by[k], p.step, func(f *job.Field, v float64) {
			if list := *p.at(f); i < len(list) {
				list[i][k] = v
			}
		})
	}
	r.remove = focus.NewButtonWithIcon("", theme.ContentRemoveIcon(), func() {
		p.z.change(p.step, func(_ *job.Setup, f *job.Field) {
			if list := p.at(f); i < len(*list) {
				*list = slices.Delete(*list, i, i+1)
			}
		})
	})
	pair := container.NewGridWithColumns(2, r.numbers[0], r.numbers[1])
	r.objects = []fyne.CanvasObject{caption(p.caption(i18n.Integer(i + 1))), container.NewBorder(nil, nil, nil, r.remove, pair)}
	return r
}

// show returns the rows of a list, and the button that adds one.
func (p *pairRows) show(list [][2]float64) []fyne.CanvasObject {
	for len(p.rows) < len(list) {
		p.rows = append(p.rows, p.newRow(len(p.rows)))
	}
	objects := slices.Clone(p.header)
	for i, pair := range list {
		r := p.rows[i]
		r.numbers[0].show(pair[0])
		r.numbers[1].show(pair[1])
		first := p.fixed && i == 0
		enable(r.numbers[0], !first)
		enable(r.remove, len(list) > 1 && !first)
		objects = append(objects, r.objects...)
	}
	enable(p.add, len(list) < p.most)
	return append(objects, caption(""), p.add)
}

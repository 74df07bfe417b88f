package window

import (
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
)

// form builds the fields of a card, in groups.
func (e *cardEditor) form() fyne.CanvasObject {
	return container.NewVBox(
		e.group(i18n.T("card.group.head"), e.headRows()),
		e.group(i18n.T("card.group.swivel"), e.swivelRows()),
		e.group(i18n.T("card.group.travel"), e.travelRows()),
		e.group(i18n.T("card.group.filament"), e.filamentRows()),
		e.group(i18n.T("card.group.controller"), e.controllerRows()),
	)
}

func (e *cardEditor) headRows() []*cardRow {
	return []*cardRow{
		e.row(i18n.T("card.name"), "name", e.text(func(c *machine.Card) *string { return &c.Name })),
		e.row(i18n.T("card.tilt"), "head.tilt", e.number(1, 1, func(c *machine.Card) *float64 { return &c.Head.Tilt })),
		e.row(i18n.T("card.offsquare"), "head.off_square", e.number(1, 1, func(c *machine.Card) *float64 { return &c.Head.OffSquare })),
		e.row(i18n.T("card.tipfree"), "head.tip_free", e.number(2, 0.1, func(c *machine.Card) *float64 { return &c.Head.TipFree })),
		e.row(i18n.T("card.profile"), "head.profile", e.list("head.profile", 2, 5,
			func(c *machine.Card) [][]float64 { return profileRows(c.Head.Profile) },
			func(c *machine.Card, rows [][]float64) { c.Head.Profile = rowsProfile(rows) })),
		e.row(i18n.T("card.boxes"), "head.boxes", e.list("head.boxes", 6, 2,
			func(c *machine.Card) [][]float64 { return boxRows(c.Head.Boxes) },
			func(c *machine.Card, rows [][]float64) { c.Head.Boxes = rowsBoxes(rows) })),
	}
}

// swivelPart returns an accessor that is nil without a swivel.
func swivelPart(get func(*machine.Swivel) *float64) func(*machine.Card) *float64 {
	return func(c *machine.Card) *float64 {
		if c.Swivel == nil {
			return nil
		}
		return get(c.Swivel)
	}
}

// rangePart returns an accessor of an end of the swivel's range, nil without.
func rangePart(end int) func(*machine.Card) *float64 {
	return func(c *machine.Card) *float64 {
		if c.Swivel == nil || c.Swivel.Range == nil {
			return nil
		}
		return &c.Swivel.Range[end]
	}
}

func (e *cardEditor) swivelRows() []*cardRow {
	number := func(decimals int, step float64, get func(*machine.Swivel) *float64) cardPart {
		return e.number(decimals, step, swivelPart(get))
	}
	return []*cardRow{
		e.row(i18n.T("card.swivel"), "", e.tick(i18n.T("card.swivels"), func(c *machine.Card) (bool, bool) { return c.Swivel != nil, true }, e.setSwivel)),
		e.row(i18n.T("card.letter"), "swivel.letter", e.choose([]string{"A", "B", "C", "U", "V", "W"}, func(l string) string { return l },
			func(c *machine.Card) string { return swivelOf(c).Letter }, func(c *machine.Card, l string) { c.Swivel.Letter = l })),
		e.row(i18n.T("card.sense"), "swivel.sense", e.choose([]string{"1", "-1"}, senseText,
			func(c *machine.Card) string { return senseKey(swivelOf(c).Sense) }, func(c *machine.Card, s string) { c.Swivel.Sense = senseOf(s) })),
		e.row(i18n.T("card.zero"), "swivel.zero", number(3, 1, func(s *machine.Swivel) *float64 { return &s.Zero })),
		e.row(i18n.T("card.endless"), "", e.tick(i18n.T("card.slipring"), func(c *machine.Card) (bool, bool) {
			return swivelOf(c).Range == nil, c.Swivel != nil
		}, setEndless)),
		e.row(i18n.T("card.range"), "swivel.range", e.number(1, 10, rangePart(0)), e.number(1, 10, rangePart(1))),
		e.row(i18n.T("card.swivelspeed"), "swivel.max_speed", number(0, 10, func(s *machine.Swivel) *float64 { return &s.MaxSpeed })),
		e.row(i18n.T("card.swivelaccel"), "swivel.max_accel", number(0, 100, func(s *machine.Swivel) *float64 { return &s.MaxAccel })),
		e.row(i18n.T("card.offset"), "swivel.tip_offset",
			number(3, 0.1, func(s *machine.Swivel) *float64 { return &s.TipOffset[0] }),
			number(3, 0.1, func(s *machine.Swivel) *float64 { return &s.TipOffset[1] }),
			number(3, 0.1, func(s *machine.Swivel) *float64 { return &s.TipOffset[2] })),
	}
}

func (e *cardEditor) travelRows() []*cardRow {
	span := func(get func(*machine.Card) *machine.Limits) []cardPart {
		end := func(i int) func(*machine.Card) *float64 {
			return func(c *machine.Card) *float64 {
				if get(c).Endless() {
					return nil // a belt has no limits to set
				}
				return &get(c)[i]
			}
		}
		return []cardPart{e.number(1, 1, end(0)), e.number(1, 1, end(1))}
	}
	rates := func(step float64, get func(*machine.Card) *machine.AxisRates) []cardPart {
		return []cardPart{
			e.number(0, step, func(c *machine.Card) *float64 { return &get(c).X }),
			e.number(0, step, func(c *machine.Card) *float64 { return &get(c).Y }),
			e.number(1, step, func(c *machine.Card) *float64 { return &get(c).Z }),
			e.number(0, step, func(c *machine.Card) *float64 { return &get(c).E }),
		}
	}
	return []*cardRow{
		e.row(i18n.T("card.travel", "axis", "X"), "travel.x", span(func(c *machine.Card) *machine.Limits { return &c.Travel.X })...),
		e.row(i18n.T("card.travel", "axis", "Y"), "travel.y", span(func(c *machine.Card) *machine.Limits { return &c.Travel.Y })...),
		e.row(i18n.T("card.travel", "axis", "Z"), "travel.z", span(func(c *machine.Card) *machine.Limits { return &c.Travel.Z })...),
		e.row(i18n.T("card.speed"), "max_speed", rates(1, func(c *machine.Card) *machine.AxisRates { return &c.MaxSpeed })...),
		e.row(i18n.T("card.accel"), "max_accel", rates(100, func(c *machine.Card) *machine.AxisRates { return &c.MaxAccel })...),
		e.row(i18n.T("card.obstacles"), "obstacles", e.list("obstacles", 6, 2,
			func(c *machine.Card) [][]float64 { return boxRows(c.Obstacles) },
			func(c *machine.Card, rows [][]float64) { c.Obstacles = keepOn(rowsBoxes(rows), c.Obstacles) })),
	}
}

func (e *cardEditor) filamentRows() []*cardRow {
	return []*cardRow{
		e.row(i18n.T("card.nozzle"), "nozzle", e.number(2, 0.05, func(c *machine.Card) *float64 { return &c.Nozzle })),
		e.row(i18n.T("card.filament"), "filament", e.number(2, 0.05, func(c *machine.Card) *float64 { return &c.Filament })),
		e.row(i18n.T("card.flow"), "max_flow", e.number(1, 1, func(c *machine.Card) *float64 { return &c.MaxFlow })),
		e.row(i18n.T("card.retract"), "retract.length", e.number(2, 0.1, func(c *machine.Card) *float64 { return &c.Retract.Length })),
		e.row(i18n.T("card.retractspeed"), "retract.speed", e.number(0, 1, func(c *machine.Card) *float64 { return &c.Retract.Speed })),
		e.row(i18n.T("card.lift"), "retract.lift", e.number(2, 0.1, func(c *machine.Card) *float64 { return &c.Retract.Lift })),
	}
}

func (e *cardEditor) controllerRows() []*cardRow {
	return []*cardRow{
		e.row(i18n.T("card.feed"), "feed_basis", e.choose([]string{machine.FeedTip, machine.FeedAllAxes, machine.FeedInverseTime},
			func(b string) string { return i18n.T("card.feed." + b) },
			func(c *machine.Card) string { return c.FeedBasis }, func(c *machine.Card, b string) { c.FeedBasis = b })),
		e.row(i18n.T("card.rate"), "max_moves_per_s", e.number(0, 10, func(c *machine.Card) *float64 { return &c.MaxMovesPerS })),
		e.row(i18n.T("card.decimals"), "decimals", e.whole(func(c *machine.Card) *int { return &c.Decimals.XYZ }),
			e.whole(func(c *machine.Card) *int { return &c.Decimals.Angle }), e.whole(func(c *machine.Card) *int { return &c.Decimals.E })),
		e.row(i18n.T("card.names"), "", e.names),
		e.row(i18n.T("card.start"), "start", e.lines(func(c *machine.Card) *string { return &c.Start })),
		e.row(i18n.T("card.end"), "end", e.lines(func(c *machine.Card) *string { return &c.End })),
	}
}

// group lays rows under a heading.
func (e *cardEditor) group(title string, rows []*cardRow) fyne.CanvasObject {
	form := container.New(layout.NewCustomPaddedVBoxLayout(2))
	for _, r := range rows {
		e.rows = append(e.rows, r)
		var objects []fyne.CanvasObject
		for _, p := range r.parts {
			objects = append(objects, p.object)
		}
		form.Add(container.New(&captioned{}, r.label, container.NewGridWithColumns(len(objects), objects...)))
	}
	return container.NewVBox(heading(title), form)
}

// row is a line of the form; entry is as the card's check names it.
func (e *cardEditor) row(text, entry string, parts ...cardPart) *cardRow {
	r := &cardRow{label: caption(text), text: text, parts: parts}
	if entry != "" {
		r.entries = []string{entry}
	}
	return r
}

// captioned lays a caption of one width for the whole form before a field.
type captioned struct{}

// captionWidth is that of the form's captions, in the toolkit's units: it grows
// with the texts.
func captionWidth() float32 { return 14 + 10.6*theme.TextSize() }

func (*captioned) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(captionWidth()+b.Width, max(a.Height, b.Height))
}

func (*captioned) Layout(o []fyne.CanvasObject, size fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(captionWidth(), o[0].MinSize().Height))
	o[1].Move(fyne.NewPos(captionWidth(), 0))
	o[1].Resize(fyne.NewSize(size.Width-captionWidth(), o[1].MinSize().Height))
}

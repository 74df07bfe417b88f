package window

import (
	"conewright/app/focus"
	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// build makes the rows of the question that is asked.
func (g *guide) build() {
	g.box.Objects, g.parts = nil, nil
	title := heading(i18n.T("describe.q." + g.at))
	title.Wrapping = fyne.TextWrapWord
	g.box.Add(title)
	switch g.at {
	case "turns":
		g.askKind()
	case "axes":
		g.askAxes()
	case "sense":
		g.eachAxis(g.askSense)
	case "tip":
		g.askTip()
	case "far":
		g.askTravel()
	case "fast":
		g.askRates()
	case "head":
		g.askHead()
	case "check":
		g.askCheck()
	}
	g.box.Refresh()
	g.scroll.ScrollToTop()
}

// row adds a line: caption, fields, and how to measure what is asked; how may be "".
func (g *guide) row(text, how string, parts ...cardPart) {
	var objects []fyne.CanvasObject
	for _, p := range parts {
		objects = append(objects, p.object)
	}
	g.parts = append(g.parts, parts...)
	g.box.Add(container.New(&captioned{}, caption(text), container.NewGridWithColumns(len(objects), objects...)))
	if how != "" {
		hint := remark()
		say(hint, how)
		g.box.Add(hint)
	}
}

// wide adds a field that needs the whole width.
func (g *guide) wide(part cardPart) {
	g.parts = append(g.parts, part)
	g.box.Add(part.object)
}

// eachAxis asks about each turning axis, under its name.
func (g *guide) eachAxis(ask func(i int, a describe.Axis)) {
	for i, a := range describe.Axes(g.draft) {
		g.box.Add(heading(axisName(*a.Letter, a.On)))
		ask(i, a)
	}
}

// axis returns an accessor of a turning axis' number.
func axisNumber(i int, get func(describe.Axis) *float64) func(*machine.Card) *float64 {
	return func(c *machine.Card) *float64 {
		if list := describe.Axes(c); i < len(list) {
			return get(list[i])
		}
		return nil
	}
}

func (g *guide) askKind() {
	var kinds []string
	for _, k := range describe.Kinds() {
		kinds = append(kinds, string(k))
	}
	pick := newChoice(kinds, func(k string) string { return i18n.T("describe.kind." + k) }, func(k string) {
		if string(describe.KindOf(g.draft)) == k {
			return
		}
		card := describe.Begin(describe.Kind(k))
		card.Name = i18n.T("describe.myname")
		g.draft, g.broken = card, map[string]error{}
		g.show()
	})
	g.row(i18n.T("describe.kind"), i18n.T("describe.how.kind"), cardPart{pick, func(c *machine.Card) { pick.show(string(describe.KindOf(c))) }})
}

func (g *guide) askAxes() {
	if g.draft.Endless() {
		g.askBelt()
	}
	g.eachAxis(func(i int, a describe.Axis) {
		g.row(i18n.T("card.letter"), i18n.T("describe.how.letter"), g.choose([]string{"A", "B", "C", "U", "V", "W"}, func(l string) string { return l },
			func(c *machine.Card) string { return *describe.Axes(c)[i].Letter },
			func(c *machine.Card, l string) { *describe.Axes(c)[i].Letter = l }))
		if describe.Upright(a.About) {
			return
		}
		g.row(i18n.T("describe.about"), "", g.choose([]string{"x", "y"}, func(v string) string { return i18n.T("describe.about." + v) },
			func(c *machine.Card) string {
				if c.Rotary[i].About[0] != 0 {
					return "x"
				}
				return "y"
			}, func(c *machine.Card, v string) { describe.LayLevel(&c.Rotary[i], v == "x") }))
	})
}

// askBelt asks which words run the belt and the gantry.
func (g *guide) askBelt() {
	if _, ok := describe.GantryOf(g.draft); !ok {
		return
	}
	letter := func(get func(*describe.Gantry) *string) cardPart {
		return g.choose([]string{"X", "Y", "Z"}, func(l string) string { return l }, func(c *machine.Card) string {
			gantry, _ := describe.GantryOf(c)
			return *get(&gantry)
		}, func(c *machine.Card, l string) {
			gantry, _ := describe.GantryOf(c)
			*get(&gantry) = l
			describe.SetGantry(c, gantry)
		})
	}
	g.row(i18n.T("describe.belt"), i18n.T("describe.how.belt"), letter(func(b *describe.Gantry) *string { return &b.Belt }))
	g.row(i18n.T("describe.rise"), "", letter(func(b *describe.Gantry) *string { return &b.Rise }))
}

// askSense asks which way an axis turns: its answers are what is seen.
func (g *guide) askSense(i int, a describe.Axis) {
	g.box.Add(caption(i18n.T("describe.grows", "letter", *a.Letter)))
	g.wide(g.choose([]string{"1", "-1"}, func(s string) string {
		c := copyCard(g.draft)
		*describe.Axes(c)[i].Sense = senseOf(s)
		return seenText(c, describe.Move{Linear: -1, Turn: i})
	}, func(c *machine.Card) string { return senseKey(*describe.Axes(c)[i].Sense) },
		func(c *machine.Card, s string) { *describe.Axes(c)[i].Sense = senseOf(s) }))
	how := "turn"
	if !describe.Upright(a.About) {
		how = "lean"
	}
	g.row(i18n.T("card.zero"), i18n.T("describe.how.zero."+a.On+how), g.number(3, 1, axisNumber(i, func(a describe.Axis) *float64 { return a.Zero })))
}

func seenText(c *machine.Card, m describe.Move) string {
	return i18n.T("describe.see." + describe.Seen(c, m))
}

func (g *guide) askTip() {
	if len(g.draft.Turning()) > 0 || g.draft.Endless() {
		g.row(i18n.T("card.tilt"), i18n.T("describe.how.tilt"), g.number(2, 1, func(c *machine.Card) *float64 { return &c.Head.Tilt }))
	}
	if gantry, ok := describe.GantryOf(g.draft); ok {
		field := newNumberField(2, 1, func(v float64) error {
			gantry, _ = describe.GantryOf(g.draft)
			gantry.Angle = min(max(v, 10), 90)
			g.change(func(c *machine.Card) { describe.SetGantry(c, gantry) })
			return nil
		}, g.tell)
		g.row(i18n.T("describe.gantry"), i18n.T("describe.how.gantry"), cardPart{field, func(c *machine.Card) {
			gantry, _ := describe.GantryOf(c)
			field.show(gantry.Angle)
		}})
	}
	for i, a := range describe.Axes(g.draft) {
		at := func(k int) cardPart {
			return g.number(3, 0.1, func(c *machine.Card) *float64 {
				if p := describe.Axes(c)[i].At; p != nil {
					return &p[k]
				}
				return &c.Swivel.TipOffset[k]
			})
		}
		side := 0 // of a level axis: the direction beside it
		if a.About[0] != 0 {
			side = 1
		}
		g.box.Add(heading(axisName(*a.Letter, a.On)))
		switch {
		case a.At == nil:
			g.row(i18n.T("describe.offset"), i18n.T("describe.how.offset"), at(0), at(1))
		case a.On == machine.OnBed && describe.Upright(a.About):
			g.row(i18n.T("describe.bedat"), i18n.T("describe.how.bedat"), at(0), at(1))
		case a.On == machine.OnBed:
			g.row(i18n.T("describe.bedtilt", "side", "xy"[side:side+1]), i18n.T("describe.how.bedtilt"), at(side), at(2))
		case describe.Upright(a.About):
			g.row(i18n.T("describe.headat"), i18n.T("describe.how.headat"), at(0), at(1))
		default:
			g.row(i18n.T("describe.pivot", "side", "xy"[side:side+1]), i18n.T("describe.how.pivot"), at(side), at(2))
		}
	}
}

func (g *guide) askTravel() {
	for i, letter := range []string{"X", "Y", "Z"} {
		end := func(k int) cardPart {
			return g.number(1, 1, func(c *machine.Card) *float64 {
				if l := [3]*machine.Limits{&c.Travel.X, &c.Travel.Y, &c.Travel.Z}[i]; !l.Endless() {
					return &l[k]
				}
				return nil // a belt has no limits to set
			})
		}
		g.row(i18n.T("card.travel", "axis", letter), "", end(0), end(1))
	}
	g.hint("travel")
	g.eachAxis(func(i int, a describe.Axis) {
		end := func(k int) cardPart {
			return g.number(1, 10, axisNumber(i, func(a describe.Axis) *float64 {
				if *a.Range == nil {
					return nil
				}
				return &(*a.Range)[k]
			}))
		}
		g.row(i18n.T("card.range"), "", end(0), end(1))
		g.row("", i18n.T("describe.how.range"), g.tick(i18n.T("card.slipring"),
			func(c *machine.Card) (on, can bool) { return *describe.Axes(c)[i].Range == nil, true },
			func(c *machine.Card, on bool) {
				a := describe.Axes(c)[i]
				*a.Range = nil
				if !on {
					*a.Range = &[2]float64{*a.Zero - 360, *a.Zero + 360}
				}
			}))
	})
}

// hint adds a line on how to measure what stands over it.
func (g *guide) hint(key string) {
	hint := remark()
	say(hint, i18n.T("describe.how."+key))
	g.box.Add(hint)
}

func (g *guide) askRates() {
	rates := func(step float64, get func(*machine.Card) *machine.AxisRates) []cardPart {
		return []cardPart{
			g.number(0, step, func(c *machine.Card) *float64 { return &get(c).X }),
			g.number(0, step, func(c *machine.Card) *float64 { return &get(c).Y }),
			g.number(1, step, func(c *machine.Card) *float64 { return &get(c).Z }),
			g.number(0, step, func(c *machine.Card) *float64 { return &get(c).E }),
		}
	}
	g.row(i18n.T("card.speed"), "", rates(1, func(c *machine.Card) *machine.AxisRates { return &c.MaxSpeed })...)
	g.row(i18n.T("card.accel"), "", rates(100, func(c *machine.Card) *machine.AxisRates { return &c.MaxAccel })...)
	g.hint("rates")
	g.eachAxis(func(i int, a describe.Axis) {
		g.row(i18n.T("card.swivelspeed"), "", g.number(0, 10, axisNumber(i, func(a describe.Axis) *float64 { return a.MaxSpeed })))
		g.row(i18n.T("card.swivelaccel"), "", g.number(0, 100, axisNumber(i, func(a describe.Axis) *float64 { return a.MaxAccel })))
	})
}

func (g *guide) askHead() {
	g.row(i18n.T("card.nozzle"), i18n.T("describe.how.nozzle"), g.number(2, 0.05, func(c *machine.Card) *float64 { return &c.Nozzle }))
	g.row(i18n.T("card.filament"), "", g.number(2, 0.05, func(c *machine.Card) *float64 { return &c.Filament }))
	g.row(i18n.T("card.profile"), i18n.T("describe.how.profile"), g.list("head.profile", 2, 5,
		func(c *machine.Card) [][]float64 { return profileRows(c.Head.Profile) },
		func(c *machine.Card, rows [][]float64) { c.Head.Profile = rowsProfile(rows) }))
	g.row(i18n.T("card.boxes"), i18n.T("describe.how.boxes"), g.list("head.boxes", 6, 2,
		func(c *machine.Card) [][]float64 { return boxRows(c.Head.Boxes) },
		func(c *machine.Card, rows [][]float64) { c.Head.Boxes = rowsBoxes(rows) }))
}

// askCheck lets the drawing move axis by axis, and gives the card a name.
func (g *guide) askCheck() {
	g.hint("check")
	g.mover.build(g)
	g.row(i18n.T("card.name"), "", g.text(func(c *machine.Card) *string { return &c.Name }))
	g.hint("axistest")
	g.box.Add(focus.NewButton(i18n.T("describe.axistest"), g.askAxisTest))
	save := focus.NewButton(i18n.T("describe.save"), g.askSave)
	save.Importance = widget.HighImportance
	edit := focus.NewButton(i18n.T("describe.edit"), g.edit)
	enable(edit, g.w.session.Setup() != nil)
	g.box.Add(container.NewGridWithColumns(2, save, edit))
}

package window

import (
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// checkPage is operation 70: what a run found, worst first.
type checkPage struct {
	w     *Window
	list  *fyne.Container
	of    *job.Result // whose findings the list holds
	empty *widget.Label

	rows   []*findingRow
	chosen int // of the findings: the sheet is turned to it; -1: none
}

// mostFindings is how many are listed; the run log holds all.
const mostFindings = 50

func newCheckPage(w *Window) *page {
	c := &checkPage{w: w, list: container.NewVBox(), empty: remark(), chosen: -1}
	w.check = c
	return &page{number: "70", key: "check", body: container.NewVBox(c.empty, c.list), show: c.show}
}

func (c *checkPage) show() (string, mark) {
	s := c.w.session.Setup()
	run := c.w.session.Run()
	if c.of != run.Result {
		c.of = run.Result
		c.fill()
	}
	if s == nil {
		say(c.empty, i18n.T("check.none"))
		return i18n.T("state.later"), markNone
	}
	if run.Result == nil {
		say(c.empty, i18n.T("check.none"))
		return i18n.T("check.later"), markNone
	}
	if len(run.Result.Log.Findings) == 0 {
		say(c.empty, i18n.T("check.clean"))
	} else {
		say(c.empty, "")
	}
	text, m := findingsText(run.Result.Log.Findings)
	if run.Setup != s {
		return i18n.T("check.stale", "findings", text), markNeeds
	}
	return text, m
}

func (c *checkPage) fill() {
	c.list.Objects, c.rows, c.chosen = nil, nil, -1
	if c.of != nil {
		for i := range c.of.Log.Findings {
			if i == mostFindings {
				more := remark()
				say(more, i18n.N("check.more", len(c.of.Log.Findings)-mostFindings))
				c.list.Add(more)
				break
			}
			c.add(i)
		}
	}
	c.list.Refresh()
}

// add puts a finding's row into the list.
func (c *checkPage) add(i int) {
	f := &c.of.Log.Findings[i]
	var tapped func()
	if placed(f) {
		tapped = func() { c.w.turnToFinding(i) }
	}
	row := newFindingRow(f.Rank, f.Code, findingText(f), tapped)
	c.rows = append(c.rows, row)
	c.list.Add(row)
}

// choose shows which finding the sheet is turned to; -1: none.
func (c *checkPage) choose(chosen int) {
	c.chosen = chosen
	for i, row := range c.rows {
		row.choose(i == chosen)
	}
}

// findingsText counts findings by rank, worst first.
func findingsText(findings []job.Finding) (string, mark) {
	count := map[string]int{}
	for _, f := range findings {
		count[f.Rank]++
	}
	text, m := "", markDone
	for _, rank := range []string{"stop", "warn", "note"} {
		if n := count[rank]; n > 0 {
			if text != "" {
				text += ", "
			}
			text += i18n.N("count."+rank, n)
		}
	}
	switch {
	case count["stop"] > 0:
		m = markProblem
	case count["warn"] > 0:
		m = markNeeds
	}
	if text == "" {
		text = i18n.T("check.clean")
	}
	return text, m
}

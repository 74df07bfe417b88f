package window

import (
	"conewright/app/focus"
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

	rows   []*findingRow   // by finding; nil: it isn't listed
	offers []*focus.Button // one under each row; hidden where nothing mends it
	chosen int             // of the findings: the sheet is turned to it; -1: none
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
	c.offer(run.Setup == s && !run.Active)
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
	c.list.Objects, c.rows, c.offers, c.chosen = nil, nil, nil, -1
	if c.of != nil {
		findings := c.of.Log.Findings
		c.rows, c.offers = make([]*findingRow, len(findings)), make([]*focus.Button, len(findings))
		for n, i := range worstFirst(findings) {
			if n == mostFindings {
				more := remark()
				say(more, i18n.N("check.more", len(findings)-mostFindings))
				c.list.Add(more)
				break
			}
			c.add(i)
		}
	}
	c.list.Refresh()
}

// worstFirst returns the indices of findings by rank, each rank's in their order.
func worstFirst(findings []job.Finding) []int {
	order := make([]int, 0, len(findings))
	for _, rank := range ranks {
		for i := range findings {
			if findings[i].Rank == rank {
				order = append(order, i)
			}
		}
	}
	return order
}

// ranks are those of findings, the worst first.
var ranks = []string{job.Stop, job.Warn, job.Note}

// add puts a finding's row into the list.
func (c *checkPage) add(i int) {
	f := &c.of.Log.Findings[i]
	var tapped func()
	if placed(f) {
		tapped = func() { c.w.turnToFinding(i) }
	}
	row := newFindingRow(f.Rank, f.Code, c.zoneOf(f), findingText(f), tapped)
	mend := focus.NewButton("", nil)
	mend.Hide()
	c.rows[i], c.offers[i] = row, mend
	c.list.Add(row)
	c.list.Add(mend)
}

// zoneOf names a finding's zone where the job has several; "" else.
func (c *checkPage) zoneOf(f *job.Finding) string {
	if len(c.of.Log.Zones) < 2 || f.Zone == "" {
		return ""
	}
	return f.Zone
}

// offer shows what mends each finding, while the setup is the one that was run.
// What several would offer has its button under the first.
func (c *checkPage) offer(current bool) {
	type offered struct{ words, zone string }
	shown := map[offered]bool{}
	for i, button := range c.offers {
		if button == nil {
			continue // it isn't listed
		}
		words, do := "", (func())(nil)
		f := &c.of.Log.Findings[i]
		if current {
			words, do = c.w.offer(f)
		}
		key := offered{words, f.Zone}
		if askFor[f.Code] {
			key.zone = "" // plans are for all zones
		}
		visible(button, do != nil && !shown[key])
		if do != nil {
			button.OnTapped, shown[key] = do, true
			if button.Text != words {
				button.SetText(words)
			}
		}
	}
}

// choose shows which finding the sheet is turned to; -1: none.
func (c *checkPage) choose(chosen int) {
	c.chosen = chosen
	for i, row := range c.rows {
		if row != nil {
			row.choose(i == chosen)
		}
	}
}

// findingsText counts findings by rank, worst first.
func findingsText(findings []job.Finding) (string, mark) {
	count := map[string]int{}
	for _, f := range findings {
		count[f.Rank]++
	}
	text, m := "", markDone
	for _, rank := range ranks {
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

package chart

import (
	"math"
	"strings"
	"testing"

	"conewright/render/drawing"
)

func wave() *Curve {
	c := &Curve{Title: "flow", X: "time, min", Y: "flow, mm³/s", Limit: 12}
	for i := range 400 {
		c.Points = append(c.Points, [2]float64{float64(i) / 10, 5 + 3*math.Sin(float64(i)/9)})
	}
	return c
}

func TestChartShowsItsCurveLimitAndFigures(t *testing.T) {
	d, err := Draw(wave())
	if err != nil {
		t.Fatal(err)
	}
	pens := map[drawing.Pen]int{}
	for _, l := range d.Lines {
		pens[l.Pen]++
		for _, p := range l.Points {
			if p.X < 0 || p.X > d.Size.X || p.Y < 0 || p.Y > d.Size.Y {
				t.Errorf("a line leaves the paper: %v", p)
			}
		}
	}
	if pens[drawing.Visible] != 1 || pens[drawing.Hidden] != 1 || pens[drawing.Rule] < 8 {
		t.Errorf("lines by pen: %v", pens)
	}
	words := ""
	for _, text := range d.Texts {
		words += text.Words + " "
	}
	for _, want := range []string{"time, min", "flow, mm³/s", "35", "10"} {
		if !strings.Contains(words, want) {
			t.Errorf("no text %q in %q", want, words)
		}
	}
	// The highest point of the curve, 8, stands at its share of 12.6, the limit
	// with its headroom.
	highest := Size.Y
	for _, l := range d.Lines {
		for _, p := range l.Points {
			if l.Pen == drawing.Visible {
				highest = min(highest, p.Y)
			}
		}
	}
	if want := Size.Y - bottom - (Size.Y-bottom-top)*8/12.6; math.Abs(highest-want) > 0.05 {
		t.Errorf("highest point at %.2f mm, want %.2f", highest, want)
	}
}

func TestTicksAreFewAndRound(t *testing.T) {
	for _, c := range []struct {
		lo, hi, n float64
		want      string
	}{
		{0, 50.03, 10, "0 10 20 30 40 50"}, {0, 12.6, 4, "0 5 10"}, {-46.9, 0.2, 4, "-40 -20 0"}, {0, 0.04, 10, "0 0.005 0.01 0.015 0.02 0.025 0.03 0.035 0.04"}, {3, 3, 4, "3"},
	} {
		var got []string
		for _, v := range ticks(c.lo, c.hi, c.n) {
			got = append(got, figure(v))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("from %g to %g: %s, want %s", c.lo, c.hi, s, c.want)
		}
	}
}

func TestChartOfNothingIsRefused(t *testing.T) {
	if _, err := Draw(&Curve{Title: "x"}); err == nil {
		t.Error("no error")
	}
	if _, err := Draw(&Curve{Title: "x", Points: [][2]float64{{0, math.NaN()}}}); err == nil {
		t.Error("no error for NaN")
	}
}

package chart

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"os"
	"strings"
	"testing"
)

func wave() *Curve {
	c := &Curve{Title: "flow", X: "time, min", Y: "flow, mm³/s", Limit: 12}
	for i := range 400 {
		c.Points = append(c.Points, [2]float64{float64(i) / 10, 5 + 3*math.Sin(float64(i)/9)})
	}
	return c
}

func TestChartIsAPictureForAPage(t *testing.T) {
	b, err := SVG(wave())
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(b, []byte("<svg")) {
		t.Errorf("begins %q", b[:40])
	}
	paths, texts := 0, ""
	d := xml.NewDecoder(bytes.NewReader(b))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			if e.Name.Local == "path" {
				paths++
			}
		case xml.CharData:
			texts += string(e) + " "
		}
	}
	for _, want := range []string{"time, min", "flow, mm³/s", "35", "10"} {
		if !strings.Contains(texts, want) {
			t.Errorf("no text %q in %q", want, texts)
		}
	}
	if paths < 10 {
		t.Errorf("%d paths", paths)
	}
	again, _ := SVG(wave())
	if !bytes.Equal(b, again) {
		t.Error("drawn twice, it differs")
	}
	if dir := os.Getenv("CONEWRIGHT_LOOK"); dir != "" {
		if err := os.WriteFile(dir+"/chart.svg", b, 0o666); err != nil {
			t.Fatal(err)
		}
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
		for _, tick := range ticks(c.n)(c.lo, c.hi) {
			got = append(got, tick.Label)
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("from %g to %g: %s, want %s", c.lo, c.hi, s, c.want)
		}
	}
}

func TestChartOfNothingIsRefused(t *testing.T) {
	if _, err := SVG(&Curve{Title: "x"}); err == nil {
		t.Error("no error")
	}
	if _, err := SVG(&Curve{Title: "x", Points: [][2]float64{{0, math.NaN()}}}); err == nil {
		t.Error("no error for NaN")
	}
}

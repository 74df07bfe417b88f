package lessons

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"conewright/i18n"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// The rim of the unrolled shell is as long as the glued cone's, 2 pi r with r from the
// drawing of the cone from the side, whatever the angle.
func TestThePaperConeClosesAtItsRim(t *testing.T) {
	defer i18n.Use("en")
	for _, lang := range i18n.Languages() {
		if err := i18n.Use(lang.Tag); err != nil {
			t.Fatal(err)
		}
		for _, angle := range []float64{20, 45, 60, 70} {
			d := paperCone(angle)
			within(t, fmt.Sprintf("%s %g", lang.Tag, angle), d)
			var outlines [][]r2.Vec
			for _, l := range d.Lines {
				if l.Pen == drawing.Visible {
					outlines = append(outlines, l.Points)
				}
			}
			flat, side := outlines[0], outlines[2]
			rim := 0.0
			for i := 3; i < len(flat)-1; i++ {
				rim += r2.Norm(r2.Sub(flat[i], flat[i-1]))
			}
			around := math.Pi * (side[2].X - side[0].X)
			if math.Abs(rim-around) > 0.001*around {
				t.Errorf("%g degrees: the rim is %.2f mm long, round the cone %.2f", angle, rim, around)
			}
			if got := math.Atan2(side[0].Y-side[1].Y, side[1].X-side[0].X) * 180 / math.Pi; math.Abs(got-angle) > 0.01 {
				t.Errorf("the cone from the side has %.2f degrees, not %g", got, angle)
			}
		}
	}
}

// What is measured is the file: page, frame and the line of 100 mm, in points of 1/72
// inch (PDF reference). The frame stands 20 mm from the left edge, 10 mm from the
// others (ISO 5457, from memory).
func TestThePaperConePrintsAtFullSize(t *testing.T) {
	data, err := PaperCone(45)
	if err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("LESSON_PICTURES"); dir != "" { // to be looked at
		_ = os.WriteFile(filepath.Join(dir, "papercone.pdf"), data, 0o644)
	}
	const mm = 72 / 25.4
	var w, h float64
	box := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`).FindAllSubmatch(data, -1)
	if len(box) == 0 {
		t.Fatal("no page")
	}
	_, _ = fmt.Sscan(string(box[len(box)-1][1]), &w)
	_, _ = fmt.Sscan(string(box[len(box)-1][2]), &h)
	if math.Abs(w-210*mm) > 0.02 || math.Abs(h-297*mm) > 0.02 {
		t.Errorf("the page is %.2f x %.2f mm", w/mm, h/mm)
	}
	content := ""
	for _, part := range bytes.Split(data, []byte("stream\n"))[1:] {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			if text, _ := io.ReadAll(z); bytes.Contains(text, []byte(" l\n")) && bytes.Contains(text, []byte(" m\n")) {
				content = string(text)
			}
		}
	}
	number := regexp.MustCompile(`(?m)^(-?[\d.]+) (-?[\d.]+) ([ml])$`)
	var at r2.Vec
	full, low, high := 0, r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{}
	for _, m := range number.FindAllStringSubmatch(content, -1) {
		var p r2.Vec
		_, _ = fmt.Sscan(m[1], &p.X)
		_, _ = fmt.Sscan(m[2], &p.Y)
		p = r2.Scale(1/mm, p)
		low = r2.Vec{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y)}
		high = r2.Vec{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y)}
		if m[3] == "l" && math.Abs(r2.Norm(r2.Sub(p, at))-100) < 0.02 && math.Abs(p.Y-at.Y) < 0.01 {
			full++
		}
		at = p
	}
	if full != 1 {
		t.Errorf("%d lines of 100 mm", full)
	}
	for what, far := range map[string]float64{"left": low.X - 20, "right": 200 - high.X, "below": low.Y - 10, "above": 287 - high.Y} {
		if math.Abs(far) > 0.02 {
			t.Errorf("the frame is off by %.2f mm on the %s", far, what)
		}
	}
}

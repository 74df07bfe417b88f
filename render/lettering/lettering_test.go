package lettering_test

import (
	"math"
	"testing"

	"conewright/render/lettering"

	"golang.org/x/image/font/opentype"
)

func TestWidthAgreesWithAFace(t *testing.T) {
	face, err := opentype.NewFace(lettering.Regular(), &opentype.FaceOptions{Size: 200, DPI: 72})
	if err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"", "Elevation", "45.0° ± 0,2 µm", "Schnitt A–A", "Δοκιμή", "Проба"} {
		want := 0.0
		for _, r := range words {
			a, _ := face.GlyphAdvance(r)
			want += float64(a) / 64
		}
		if got := lettering.Width(words, 200); math.Abs(got-want) > 0.5*float64(len(words)+1)/4 {
			t.Errorf("%q runs %v, a face says %v", words, got, want)
		}
	}
}

func TestFitShortens(t *testing.T) {
	for _, room := range []float64{0, 5, 12, 30, 1000} {
		got := lettering.Fit("A rather long title", 3, room)
		if lettering.Width(got, 3) > room {
			t.Errorf("%q runs beyond %v", got, room)
		}
	}
	if lettering.Fit("short", 3, 100) != "short" {
		t.Error("words that fit were changed")
	}
}

package i18n

import (
	"fmt"
	"testing"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// Sheets and handouts are written with this font; the window's own has more.
func TestTheSheetsFontHasEveryLetter(t *testing.T) {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var b sfnt.Buffer
	for _, l := range Languages() {
		lacking := map[rune]bool{}
		for _, text := range texts(t, l.Tag) {
			for _, r := range fmt.Sprint(text) {
				if i, err := font.GlyphIndex(&b, r); r >= ' ' && (err != nil || i == 0) && !lacking[r] {
					lacking[r] = true
					t.Errorf("%s: no glyph for %q (U+%04X)", l.Tag, r, r)
				}
			}
		}
	}
}

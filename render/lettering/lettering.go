// Package lettering measures words in the font of the drawings, Go Regular
// (golang.org/x/image, free to ship), and draws them into masks.
package lettering

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Regular returns the font of most words. It never fails: the font is part of
// the program.
var Regular = sync.OnceValue(func() *sfnt.Font { return parse(goregular.TTF) })

// Medium returns the font of titles.
var Medium = sync.OnceValue(func() *sfnt.Font { return parse(gomedium.TTF) })

func parse(ttf []byte) *sfnt.Font {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic("lettering: the built-in font doesn't parse: " + err.Error())
	}
	return f
}

// CapHeight is the height of capitals and figures as a share of the em.
const CapHeight = 0.72

// unit is the em at which widths are measured: they grow with the size, since
// drawings are not hinted.
const unit = 1000

var widths struct {
	sync.Mutex
	buffer sfnt.Buffer
	known  map[rune]float64
}

// Width returns how far the words run at the given size of the em, in its
// unit.
func Width(words string, size float64) float64 {
	widths.Lock()
	defer widths.Unlock()
	if widths.known == nil {
		widths.known = make(map[rune]float64)
	}
	sum := 0.0
	for _, r := range words {
		w, ok := widths.known[r]
		if !ok {
			w = advance(r)
			widths.known[r] = w
		}
		sum += w
	}
	return sum * size
}

// advance returns a letter's width in ems. A letter that the font lacks counts
// as a whole em, which is what letters of East Asian fonts take.
func advance(r rune) float64 {
	index, err := Regular().GlyphIndex(&widths.buffer, r)
	if err != nil || index == 0 {
		return 1
	}
	a, err := Regular().GlyphAdvance(&widths.buffer, index, fixed.I(unit), font.HintingNone)
	if err != nil {
		return 1
	}
	return float64(a) / 64 / unit
}

// Fit returns words, shortened by an ellipsis until they run no further than
// room at the given size.
func Fit(words string, size, room float64) string {
	if Width(words, size) <= room {
		return words
	}
	letters := []rune(words)
	for len(letters) > 0 {
		letters = letters[:len(letters)-1]
		if short := string(letters) + "…"; Width(short, size) <= room {
			return short
		}
	}
	return ""
}

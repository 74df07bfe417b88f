package readback

import (
	"bytes"
	"fmt"
	"strconv"

	"conewright/geom/machine"
)

// words are the numbers of one move of a corrected file, taken apart in place:
// a file has millions.
type words struct {
	x, y, z, e, feed float64
	turn             machine.Turn // of the turning axes
	has              uint8
}

const (
	hasX = 1 << iota
	hasY
	hasZ
	hasSwivel // of the first turning axis of the card
	hasSecond // of the second
	hasE
	hasFeed
)

// parse reads the words of text up to a comment or a line end. letters
// are those of the turning axes, 0 for none.
func (w *words) parse(text []byte, letters [machine.MostTurning]byte) error {
	w.has = 0
	for i := 0; i < len(text); {
		c := text[i]
		switch c {
		case ' ', '\t', '\r':
			i++
			continue
		case ';', '\n':
			return nil
		}
		v, n := number(text[i+1:])
		if end := i + 1 + n; n == 0 || end < len(text) && !ends(text[end]) {
			return fmt.Errorf("word %q isn't a letter and a number", word(text[i:]))
		}
		i += 1 + n
		switch {
		case c == 'X':
			w.x, w.has = v, w.has|hasX
		case c == 'Y':
			w.y, w.has = v, w.has|hasY
		case c == 'Z':
			w.z, w.has = v, w.has|hasZ
		case c == 'E':
			w.e, w.has = v, w.has|hasE
		case c == 'F':
			w.feed, w.has = v, w.has|hasFeed
		case c == letters[0] && c != 0:
			w.turn[0], w.has = v, w.has|hasSwivel
		case c == letters[1] && c != 0:
			w.turn[1], w.has = v, w.has|hasSecond
		default:
			return fmt.Errorf("word %q isn't the machine's", word(text[i-1-n:]))
		}
	}
	return nil
}

// ends reports what may stand after a number.
func ends(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == ';' }

// word returns the first word of text.
func word(text []byte) []byte {
	if i := bytes.IndexAny(text, " \t\r\n;"); i >= 0 {
		return text[:i]
	}
	return text
}

// exactDigits is how many digits make a whole number that a float64 holds for
// sure; exactTens are the powers of ten that it holds. Their quotient is rounded
// once, so it is the number nearest to the text (Clinger, "How to read floating
// point numbers accurately", PLDI 1990, named from memory).
const exactDigits = 15

var exactTens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads the decimal number that text begins with: its value, rounded
// once, and its length; 0 where there is none.
func number(text []byte) (v float64, n int) {
	var m uint64
	i, digits, decimals := 0, 0, 0
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		i = 1
	}
	for ; i < len(text) && text[i]-'0' <= 9; i++ {
		m = 10*m + uint64(text[i]-'0')
		digits++
	}
	if i < len(text) && text[i] == '.' {
		for i++; i < len(text) && text[i]-'0' <= 9; i++ {
			m = 10*m + uint64(text[i]-'0')
			decimals++
		}
		digits += decimals
	}
	switch {
	case digits == 0:
		return 0, 0
	case digits > exactDigits:
		v, err := strconv.ParseFloat(string(text[:i]), 64)
		if err != nil {
			return 0, 0
		}
		return v, i
	}
	v = float64(m) / exactTens[decimals]
	if negative {
		v = -v
	}
	return v, i
}

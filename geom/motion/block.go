package motion

import "math"

// Bounds of a block, generous beyond any real file.
const (
	maxCodes = 8   // G words, M words of one block
	maxValue = 1e7 // of any number, in the file's units; further is no place on a printer
)

// Why a block can't be carried out.
const (
	whyNested   = "parentheses inside parentheses"
	whyUnclosed = "a parenthesis isn't closed"
	whyTwice    = "one letter stands twice in the line"
	whyNumber   = "a number that can't be read"
	whyBig      = "a number is out of all bounds"
	whyChar     = "a character that is no word"
	whyCode     = "a G or M without a plain number"
	whyCodes    = "too many G or M words in the line"
	whyGroup    = "two G words of one modal group in the line"
	whyUnknown  = "a G word that isn't understood and could move the machine or shift its coordinates"
	whyBare     = "an axis letter without a number"

	// whySpaced isn't seen outside: the numbers hold blanks (NISTIR 6556, 3.3:
	// white space is allowed anywhere), so take them out and parse again.
	whySpaced = "blanks inside a number"
)

// block is one line of a file, taken apart into words.
type block struct {
	has, bare uint32 // letters a..z: present; present without a number
	v         [26]float64
	g         [maxCodes]int16 // G words x 10: G92.1 is 921
	m         [maxCodes]int16
	ng, nm    int
}

func bit(letter byte) uint32 { return 1 << (letter - 'a') }

func (b *block) val(letter byte) float64 { return b.v[letter-'a'] }

// Sets of letters.
const (
	lettersXYZ = 1<<('x'-'a') | 1<<('y'-'a') | 1<<('z'-'a')
	lettersIJK = 1<<('i'-'a') | 1<<('j'-'a') | 1<<('k'-'a')
	letterE    = 1 << ('e' - 'a')
	letterF    = 1 << ('f' - 'a')
	letterR    = 1 << ('r' - 'a')
	letterP    = 1 << ('p' - 'a')
	letterT    = 1 << ('t' - 'a')
	lettersABC = 1 | 1<<('b'-'a') | 1<<('c'-'a')
	lettersUVW = 1<<('u'-'a') | 1<<('v'-'a') | 1<<('w'-'a')
	// lettersOdd have a meaning in some controllers' moves that isn't known
	// here: end stops, corner radii.
	lettersOdd = 1<<('d'-'a') | 1<<('h'-'a') | 1<<('l'-'a') | 1<<('q'-'a')
	lettersS   = 1<<('s'-'a') | 1<<('p'-'a') | 1<<('d'-'a') | 1<<('h'-'a')
)

// parse takes the words of s; an empty answer is success.
func (b *block) parse(s []byte) string {
	b.has, b.bare, b.ng, b.nm = 0, 0, 0, 0
	for i := 0; i < len(s); {
		c := s[i]
		l := c | 0x20
		if l < 'a' || l > 'z' {
			if blank(c) {
				i++
				continue
			}
			if c == ';' {
				return ""
			}
			var why string
			if i, why = special(s, i); why != "" {
				return why
			}
			continue
		}
		v, next, ok, sign := number(s, i+1)
		if !ok && sign {
			return whySpaced
		}
		if math.Abs(v) > maxValue {
			return whyBig
		}
		if l == 'g' || l == 'm' {
			if why := b.code(l, v, ok); why != "" {
				return why
			}
			i = next
			continue
		}
		if b.has&bit(l) != 0 {
			return whyTwice
		}
		b.has |= bit(l)
		if !ok {
			b.bare |= bit(l)
		}
		b.v[l-'a'] = v
		i = next
	}
	return ""
}

// special steps over what isn't a letter: an inline comment, or nothing good.
func special(s []byte, i int) (next int, why string) {
	switch c := s[i]; {
	case c == '(':
		return skipComment(s, i)
	case c == '.' || c-'0' <= 9 || c == '-' || c == '+':
		return i, whySpaced
	}
	return i, whyChar
}

// skipComment steps over a comment in parentheses, which begins at s[i].
func skipComment(s []byte, i int) (next int, why string) {
	for i++; i < len(s); i++ {
		switch s[i] {
		case ')':
			return i + 1, ""
		case '(':
			return i, whyNested
		}
	}
	return i, whyUnclosed
}

func (b *block) code(letter byte, v float64, ok bool) string {
	n := math.Round(v * 10)
	if !ok || n < 0 || n > math.MaxInt16 || math.Abs(v*10-n) > 1e-3 {
		return whyCode
	}
	if b.ng == maxCodes || b.nm == maxCodes {
		return whyCodes
	}
	if letter == 'g' {
		b.g[b.ng] = int16(n)
		b.ng++
	} else {
		b.m[b.nm] = int16(n)
		b.nm++
	}
	return ""
}

// squeeze appends s to dst without blanks outside of comments.
func squeeze(dst, s []byte) []byte {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == ';':
			return dst
		case c == '(':
			next, why := skipComment(s, i)
			if why != "" {
				return append(dst, s[i:]...)
			}
			i = next - 1
		case !blank(c):
			dst = append(dst, c)
		}
	}
	return dst
}

// plain appends s to dst without its comments.
func plain(dst, s []byte) []byte {
	for i := 0; i < len(s) && s[i] != ';'; i++ {
		if s[i] == '(' {
			next, why := skipComment(s, i)
			if why != "" { // left whole, or what remains would read as another line
				return append(dst, s[i:]...)
			}
			i = next - 1
			continue
		}
		dst = append(dst, s[i])
	}
	return dst
}

func trim(s []byte) []byte {
	for len(s) > 0 && blank(s[0]) {
		s = s[1:]
	}
	for len(s) > 0 && blank(s[len(s)-1]) {
		s = s[:len(s)-1]
	}
	return s
}

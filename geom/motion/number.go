package motion

import "strconv"

// exactDigits is how many digits surely fit a uint64 without overflow.
const exactDigits = 18

// blank reports white space inside a line.
func blank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f' }

// number reads a signed decimal number at s[i:] after blanks. next is the
// place after it. Without a digit ok is false and next is i; sign tells that a
// sign stood there all the same. The value is exact to the last digit: a whole
// number below 2^53 over a power of ten that a float64 holds is rounded once,
// by the division; everything longer goes the slow way.
func number(s []byte, i int) (v float64, next int, ok, sign bool) {
	start := i
	for i < len(s) && blank(s[i]) {
		i++
	}
	neg := false
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		neg, sign = s[i] == '-', true
		i++
	}
	first := i
	var m uint64
	for i < len(s) && s[i]-'0' <= 9 {
		m = m*10 + uint64(s[i]-'0')
		i++
	}
	digits, decimals := i-first, 0
	if i < len(s) && s[i] == '.' {
		i++
		point := i
		for i < len(s) && s[i]-'0' <= 9 {
			m = m*10 + uint64(s[i]-'0')
			i++
		}
		decimals = i - point
		digits += decimals
	}
	if digits == 0 {
		return 0, start, false, sign
	}
	if digits > exactDigits || m > exact {
		v, _ = strconv.ParseFloat(string(s[first:i]), 64) // only a range error can come: infinity
	} else if v = float64(m); decimals > 0 {
		v /= pow10[decimals]
	}
	if neg {
		v = -v
	}
	return v, i, true, sign
}

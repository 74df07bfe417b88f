package motion

import (
	"math"
	"strconv"
)

// pow10 holds the powers of ten that a float64 holds exactly.
var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// exact is the greatest whole number up to which a float64 holds all.
const exact = 1 << 53

// maxDecimals bounds the digits after the point that are written.
const maxDecimals = 15

// scaled returns v x 10^decimals rounded to a whole number, correctly (ties of
// the exact binary value go to even, as in strconv). ok is false where it
// doesn't fit.
func scaled(v float64, decimals int) (n float64, ok bool) {
	s := pow10[decimals]
	x := v * s
	if !(math.Abs(x) < exact) {
		return 0, false
	}
	n = math.RoundToEven(x)
	if d := x - n; d == 0.5 || d == -0.5 {
		// The product looks like a tie; what its own rounding took off decides.
		if rest := math.FMA(v, s, -x); rest*d > 0 {
			n += 2 * d
		}
	}
	return n, true
}

func clampDecimals(decimals int) int { return min(max(decimals, 0), maxDecimals) }

// Round returns the value that AppendNumber writes: a reader that is exact to
// the last digit gets this very float64.
func Round(v float64, decimals int) float64 {
	decimals = clampDecimals(decimals)
	n, ok := scaled(v, decimals)
	if !ok {
		return v
	}
	return n/pow10[decimals] + 0 // + 0 turns -0 into 0
}

// AppendNumber appends v with at most that many digits (0 to 15) after the
// point, correctly rounded, trailing zeros and "-0" left out, never with an
// exponent. v must be finite.
func AppendNumber(dst []byte, v float64, decimals int) []byte {
	decimals = clampDecimals(decimals)
	n, ok := scaled(v, decimals)
	if !ok {
		return strconv.AppendFloat(dst, v, 'f', -1, 64)
	}
	return appendScaled(dst, n, decimals)
}

// appendScaled appends n / 10^decimals for a whole n below 2^53, without zeros
// at its end.
func appendScaled(dst []byte, n float64, decimals int) []byte {
	if n < 0 {
		dst = append(dst, '-')
		n = -n
	}
	u := uint64(n)
	for ; decimals > 0 && u%10 == 0; decimals-- {
		u /= 10
	}
	var buf [2*maxDecimals + 2]byte
	at := len(buf)
	if decimals > 0 {
		for ; decimals > 0; decimals-- {
			at--
			buf[at] = byte('0' + u%10)
			u /= 10
		}
		at--
		buf[at] = '.'
	}
	for {
		at--
		buf[at] = byte('0' + u%10)
		if u /= 10; u == 0 {
			return append(dst, buf[at:]...)
		}
	}
}

// AppendWord appends a blank, the letter and the number.
func AppendWord(dst []byte, letter byte, v float64, decimals int) []byte {
	return AppendNumber(append(dst, ' ', letter), v, decimals)
}

// feedDigits is the least number of significant digits of a feed: rounding
// down then costs at most 1 part in 10,000 of the speed.
const feedDigits = 5

func feedDecimals(f float64) int {
	decimals := feedDigits - 1
	for f >= 10 && decimals > 0 {
		f /= 10
		decimals--
	}
	for f < 1 && f > 0 && decimals < maxDecimals {
		f *= 10
		decimals++
	}
	return decimals
}

// RoundFeed returns the value that AppendFeed writes.
func RoundFeed(f float64) float64 {
	s := pow10[feedDecimals(f)]
	if f*s >= exact {
		return f
	}
	return math.Floor(f*s) / s
}

// AppendFeed appends " F" and f > 0 with at least five significant digits,
// rounded down so that no limit is exceeded by it, never with an exponent.
func AppendFeed(dst []byte, f float64) []byte {
	dst = append(dst, ' ', 'F')
	d := feedDecimals(f)
	n := math.Floor(f * pow10[d])
	if !(n < exact) {
		return strconv.AppendFloat(dst, f, 'f', -1, 64)
	}
	return appendScaled(dst, n, d)
}

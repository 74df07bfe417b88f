package motion

import (
	"math"
	"slices"
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
	whole := u / wholePow10[decimals]
	digits := 1
	for whole >= wholePow10[digits] && digits < len(wholePow10)-1 {
		digits++
	}
	dst = appendDigits(dst, whole, digits)
	if u -= whole * wholePow10[decimals]; u == 0 {
		return dst
	}
	dst = appendDigits(append(dst, '.'), u, decimals)
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	return dst
}

// appendDigits appends u in that many digits, which it must not need more of.
func appendDigits(dst []byte, u uint64, digits int) []byte {
	at := len(dst) + digits
	dst = slices.Grow(dst, digits)[:at]
	for ; digits >= 2; digits -= 2 {
		at -= 2
		pair := u % 100 * 2
		u /= 100
		dst[at], dst[at+1] = pairs[pair], pairs[pair+1]
	}
	if digits == 1 {
		dst[at-1] = byte('0' + u)
	}
	return dst
}

// wholePow10 are the powers of ten by which digits after the point are parted
// off, and beyond which a whole number below 2^53 has no digits.
var wholePow10 = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16}

// pairs are the numbers from 00 to 99: two digits cost one division.
const pairs = "00010203040506070809" + "10111213141516171819" + "20212223242526272829" +
	"30313233343536373839" + "40414243444546474849" + "50515253545556575859" +
	"60616263646566676869" + "70717273747576777879" + "80818283848586878889" +
	"90919293949596979899"

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

package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// scales are those of ISO 5455, greatest first, with the powers of ten by
// which the standard extends them (values from memory).
var scales = []float64{100, 50, 20, 10, 5, 2, 1, 1 / 2., 1 / 5., 1 / 10., 1 / 20., 1 / 50., 1 / 100., 1 / 200., 1 / 500., 1 / 1000.}

// scaleWords writes a scale as in "1 : 2".
func scaleWords(scale float64, decimal string) string {
	if scale >= 1 {
		return ratio(scale, decimal) + " : 1"
	}
	return "1 : " + ratio(1/scale, decimal)
}

func ratio(v float64, decimal string) string {
	if r := math.Round(v); math.Abs(v-r) < 1e-9*v {
		return strconv.FormatFloat(r, 'f', 0, 64)
	}
	return strings.Replace(fmt.Sprintf("%.3g", v), ".", decimal, 1)
}

// round125 returns the least of 1, 2, 5 times a power of ten that isn't under
// v.
func round125(v float64) float64 {
	if !(v > 0) || math.IsInf(v, 0) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range [...]float64{1, 2, 5} {
		if m*power >= v*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// number writes a length or angle with the given digits after the decimal
// sign; it never writes -0.
func number(v float64, digits int, decimal string) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, ".", decimal, 1)
}

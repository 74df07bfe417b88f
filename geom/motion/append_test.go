package motion

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// slowNumber is AppendNumber by strconv, which is correctly rounded.
func slowNumber(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

func TestAppendNumber(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 3, "0"}, {math.Copysign(0, -1), 3, "0"}, {-0.0004, 3, "0"}, {0.0005, 3, "0.001"}, {-0.0006, 3, "-0.001"},
		{1.5, 0, "2"}, {2.5, 0, "2"}, {1.005, 2, "1"}, {1.115, 2, "1.11"}, {12.3456789, 5, "12.34568"}, {100, 3, "100"},
		{99.9999, 3, "100"}, {1e-9, 3, "0"}, {1e15, 2, "1000000000000000"}, {1e21, 3, "1000000000000000000000"}, {0.1, 15, "0.1"},
	} {
		if got := string(AppendNumber(nil, c.v, c.decimals)); got != c.want {
			t.Errorf("%v with %d: %s, want %s", c.v, c.decimals, got, c.want)
		}
	}
}

func TestAppendNumberAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e5, 1e5).Draw(t, "v")
		d := rapid.IntRange(0, 8).Draw(t, "decimals")
		if rapid.Bool().Draw(t, "tie") { // halves, where rounding is hard
			v = (math.Floor(v) + 0.5) / math.Pow(10, float64(d))
		}
		got := string(AppendNumber(nil, v, d))
		if want := slowNumber(v, d); got != want {
			t.Fatalf("%v with %d: %s, want %s", v, d, got, want)
		}
		back, err := strconv.ParseFloat(got, 64)
		if err != nil || back != Round(v, d) {
			t.Fatalf("%v with %d: written %s, rounded %v", v, d, got, Round(v, d))
		}
	})
}

func TestFeedRoundsDown(t *testing.T) {
	for f, want := range map[float64]string{1800: " F1800", 12345.678: " F12345", 1234.5678: " F1234.5", 0.00123456: " F0.0012345", 7.99999: " F7.9999", 123456.7: " F123456"} {
		if got := string(AppendFeed(nil, f)); got != want {
			t.Errorf("%v: %q, want %q", f, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		f := math.Exp(rapid.Float64Range(-12, 14).Draw(t, "ln f"))
		s := string(AppendFeed(nil, f))
		v, err := strconv.ParseFloat(s[2:], 64)
		if err != nil || v != RoundFeed(f) || strings.ContainsAny(s, "eE") {
			t.Fatalf("%v: %q, rounded %v", f, s, RoundFeed(f))
		}
		if v > f*(1+1e-15) || v < f*(1-1e-4) {
			t.Fatalf("%v became %v", f, v)
		}
	})
}

func TestNumberAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[+-]?([0-9]{1,20}(\.[0-9]{0,20})?|\.[0-9]{1,20})`).Draw(t, "number")
		v, next, ok, _ := number([]byte(s+"X"), 0)
		want, err := strconv.ParseFloat(s, 64)
		if err != nil || !ok || next != len(s) || v != want {
			t.Fatalf("%q: %v to %d (%v), want %v (%v)", s, v, next, ok, want, err)
		}
	})
}

package readback

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/machine"

	"pgregory.net/rapid"
)

func TestReadsTheWordsOfAMove(t *testing.T) {
	for _, c := range []struct {
		text string
		want words
		ok   bool
	}{
		{"X1 Y-2.5 Z0.3 C-90 E1.00001 F1200\n", words{x: 1, y: -2.5, z: 0.3, turn: machine.Turn{-90}, e: 1.00001, feed: 1200, has: hasXYZ | hasSwivel | hasE | hasFeed}, true},
		{"Y.5", words{y: 0.5, has: hasY}, true},
		{"E-1. ; drawn back X9\r\n", words{e: -1, has: hasE}, true},
		{"  X+7\tF3\r\n", words{x: 7, feed: 3, has: hasX | hasFeed}, true},
		{"", words{}, true},
		{"X", words{}, false},
		{"X-", words{}, false},
		{"X1Y2", words{}, false},
		{"X1e3", words{}, false},
		{"XNaN", words{}, false},
		{"X 1", words{}, false},
		{"A5", words{}, false},
		{"1", words{}, false},
	} {
		var w words
		err := w.parse([]byte(c.text), [2]byte{'C'})
		if (err == nil) != c.ok || c.ok && w != c.want {
			t.Errorf("%q: %+v, %v", c.text, w, err)
		}
	}
	var w words
	if err := w.parse([]byte("C5"), [2]byte{}); err == nil || !strings.Contains(err.Error(), `"C5"`) {
		t.Errorf("a swivel word on a machine without: %v", err)
	}
}

// Against the standard library, which rounds correctly.
func TestNumbersAreExactToTheLastBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strconv.FormatFloat(rapid.Float64Range(-1e9, 1e9).Draw(t, "v"), 'f', rapid.IntRange(-1, 20).Draw(t, "digits"), 64)
		want, _ := strconv.ParseFloat(text, 64)
		if v, n := number([]byte(text + " Y")); v != want || n != len(text) || math.Signbit(v) != math.Signbit(want) {
			t.Errorf("%s: %v, %d bytes, want %v", text, v, n, want)
		}
	})
}

func FuzzWords(f *testing.F) {
	f.Add([]byte("X1 Y-2.5 Z0.3 C-90 E1.00001 F1200 ; a remark"))
	f.Add([]byte("X99999999999999999999999999999999999999.9"))
	f.Fuzz(func(t *testing.T, text []byte) {
		var w words
		if w.parse(text, [2]byte{'C'}) == nil {
			for _, v := range []float64{w.x, w.y, w.z, w.turn[0], w.e, w.feed} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%q gives %v", text, v)
				}
			}
		}
	})
}

package strictjson

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

type sample struct {
	Turn    [3]float64      `json:"turn"`
	Seat    *[2]float64     `json:"seat"`
	Profile [][2]float64    `json:"profile"`
	Inner   *sample         `json:"inner"`
	Own     json.RawMessage `json:"own"`
}

func TestNothingIsFilledInOrDropped(t *testing.T) {
	for _, c := range []struct{ data, says string }{
		{`{"turn":[1,2,3],"seat":[1,2],"profile":[[0,1],[2,3]],"inner":{"seat":null}}`, ""},
		{`{"profile":[[0,0.3],[6]]}`, "profile[1]: holds 1 values"},
		{`{"seat":[1]}`, "seat: holds 1 values"},
		{`{"turn":[1,2,3,4]}`, "turn: holds 4 values"},
		{`{"inner":{"turn":[1,2]}}`, "inner.turn: holds 2 values"},
		{`{"seat":[1,2],"seat":[1,2]}`, "seat: the key \"seat\" stands twice"},
		{`{"seat":[1,2],"Seat":[1,2]}`, "stands twice"},
		{`{"own":{"a":1,"a":2}}`, "stands twice"},
		{`{"seat":[1,null]}`, "seat[1]: null"},
		{`{"seet":[1,2]}`, "seet"},
		{`{} {}`, "more text"},
		{`{}]`, "more text"},
		{`{"inner":` + strings.Repeat("[", 2000) + strings.Repeat("]", 2000) + `}`, "deep"},
		{`{"turn":[1,2,3]`, "unexpected"},
		{`{"turn":"x"}`, "turn"},
	} {
		var s sample
		err := Decode([]byte(c.data), &s)
		if (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%.60s: %v, want %q", c.data, err, c.says)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"turn":[1,2,3],"seat":[1,2],"profile":[[0,1]]}`))
	f.Add([]byte(`{"seat":[1,null]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var s sample
		err := Decode(data, &s)
		var own *Error
		if errors.As(err, &own) && own.Mend.String() == "" {
			t.Error("no word of how to mend it")
		}
		if err == nil && !json.Valid(data) {
			t.Error("taken, but no JSON")
		}
	})
}

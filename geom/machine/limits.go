package machine

import (
	"encoding/json"
	"math"
)

// Limits are the least and the greatest word of an axis. An axis without end (a
// belt) has infinite limits; in a card's file they are null.
type Limits [2]float64

// Endless returns the limits of an axis without end.
func Endless() Limits { return Limits{math.Inf(-1), math.Inf(1)} }

// Endless reports that the axis has no end.
func (l Limits) Endless() bool { return math.IsInf(l[0], -1) && math.IsInf(l[1], 1) }

// MarshalJSON writes null for an axis without end.
func (l Limits) MarshalJSON() ([]byte, error) {
	if l.Endless() {
		return []byte("null"), nil
	}
	return json.Marshal([2]float64(l))
}

// UnmarshalJSON reads two numbers, or null for an axis without end.
func (l *Limits) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		*l = Endless()
		return nil
	}
	return strict(data, (*[2]float64)(l))
}

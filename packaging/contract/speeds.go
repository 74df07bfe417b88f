package contract

import (
	"math"
	"strconv"

	"conewright/packaging/reading"
)

func number(v any) string {
	f, ok := v.(float64)
	if !ok {
		return ""
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// seconds is how long a move takes by its feed word, the card's feed basis and
// RS-274/NGC.
func (c *check) seconds(s *reading.Step) float64 {
	if s.Inverse {
		return 60 / s.Feed
	}
	linear, turn := 0.0, 0.0
	for k := range s.To.XYZ {
		linear += (s.To.XYZ[k] - s.From.XYZ[k]) * (s.To.XYZ[k] - s.From.XYZ[k])
	}
	for k := range s.To.Turn {
		turn += (s.To.Turn[k] - s.From.Turn[k]) * (s.To.Turn[k] - s.From.Turn[k])
	}
	way := linear
	switch {
	case c.log.Machine.FeedBasis == "all-axes":
		way = linear + turn
	case linear == 0:
		way = turn
	}
	if way == 0 {
		return math.Abs(s.To.E-s.From.E) / s.Feed * 60
	}
	return math.Sqrt(way) / s.Feed * 60
}

// speeds checks that no move drives an axis, the filament or the flow faster
// than the card allows.
func (c *check) speeds() {
	const slack = 1.005 // F has four digits
	m := c.log.Machine
	begin, end := c.span()
	for i := range c.path.Steps {
		s := &c.path.Steps[i]
		if s.Zone < 0 || s.Line <= begin || s.Line > end || !s.Known {
			continue
		}
		t := c.seconds(s)
		if t == 0 {
			continue
		}
		if !(t > 0) || math.IsInf(t, 0) {
			c.wrong("line %d: F%g tells no time", s.Line, s.Feed)
			continue
		}
		for k, most := range []float64{m.MaxSpeed.X, m.MaxSpeed.Y, m.MaxSpeed.Z} {
			if v := math.Abs(s.To.XYZ[k]-s.From.XYZ[k]) / t; v > most*slack {
				c.wrong("line %d: %c goes at %.2f mm/s of %g", s.Line, "XYZ"[k], v, most)
			}
		}
		for k, a := range m.Turnings() {
			if v := math.Abs(s.To.Turn[k]-s.From.Turn[k]) / t; v > a.MaxSpeed*slack {
				c.wrong("line %d: %s turns at %.2f degrees/s of %g", s.Line, a.Letter, v, a.MaxSpeed)
			}
		}
		if v := math.Abs(s.To.E-s.From.E) / t; v > m.MaxSpeed.E*slack {
			c.wrong("line %d: filament goes at %.2f mm/s of %g", s.Line, v, m.MaxSpeed.E)
		}
		flow := (s.To.E - s.From.E) * math.Pi * m.Filament * m.Filament / 4 / t
		// A remainder of rounding may fall on a short move.
		if s.Extrudes() && flow > m.MaxFlow*slack && s.To.E-s.From.E > 0.01 {
			c.wrong("line %d: %.2f mm3/s flow, of %g", s.Line, flow, m.MaxFlow)
		}
	}
}

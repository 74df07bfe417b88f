package register

import (
	"bytes"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sayer writes words in a dialect.
type sayer struct {
	d        dialect
	b        bytes.Buffer
	n        int
	lines    int
	e        float64
	rounding float64
	file     planarFile
	part     bool
	pos      r3.Vec
	bend     func(p r3.Vec) float64
	off      r3.Vec
}

func (s *sayer) say(words, comment string) {
	if s.d.dense {
		var dense []byte
		for i := 0; i < len(words); i++ {
			if words[i] != ' ' {
				dense = append(dense, words[i]|0x20)
			}
		}
		if words != "" && words[0] != 'M' {
			words = string(dense)
		}
	}
	if s.d.numbers && words != "" {
		s.n += 10
		words = fmt.Sprintf("N%d %s", s.n, words)
		sum := byte(0)
		for i := range len(words) {
			sum ^= words[i]
		}
		words += fmt.Sprintf("*%d", sum)
	}
	if comment != "" && s.d.comments == ";" {
		words += " ; " + comment
	} else if comment != "" && s.d.comments == "(" {
		words = "(" + comment + ") " + words
	}
	s.b.WriteString(words)
	if s.d.crlf {
		s.b.WriteByte('\r')
	}
	s.b.WriteByte('\n')
	s.lines++
}

func (s *sayer) scale(v float64) float64 {
	if s.d.inches {
		return v / 25.4
	}
	return v
}

func (s *sayer) num(v float64) string {
	if s.d.inches {
		return fmt.Sprintf("%.5f", s.scale(v))
	}
	return fmt.Sprintf("%.3f", v)
}

func (s *sayer) coords(p r3.Vec) string {
	w := p
	if s.bend != nil {
		w.Z -= s.bend(p)
	}
	t := " X" + s.num(w.X-s.off.X) + " Y" + s.num(w.Y-s.off.Y)
	if p.Z != s.pos.Z || s.bend != nil {
		t += " Z" + s.num(w.Z)
	}
	return t
}

func (s *sayer) eWord(de float64) string {
	if s.d.relativeE {
		v := math.Round(s.scale(de+s.rounding)*1e5) / 1e5
		back := v
		if s.d.inches {
			back *= 25.4
		}
		s.rounding += de - back
		if s.part {
			s.file.filament += back
		}
		return fmt.Sprintf(" E%.5f", v)
	}
	was := math.Round(s.scale(s.e)*1e5) / 1e5
	s.e += de
	now := math.Round(s.scale(s.e)*1e5) / 1e5
	if s.part {
		v := now - was
		if s.d.inches {
			v *= 25.4
		}
		s.file.filament += v
	}
	return fmt.Sprintf(" E%.5f", now)
}

func (s *sayer) retract(on bool) {
	if s.d.firmware {
		if on {
			s.say("G10", "")
		} else {
			s.say("G11", "")
		}
		return
	}
	part := s.part
	s.part = false
	de := 0.8
	if on {
		de = -de
	}
	s.say("G1"+s.eWord(de)+" F"+s.num(1800), "")
	s.part = part
}

func (s *sayer) travel(p r3.Vec) {
	if r3.Norm(r3.Sub(p, s.pos)) < 1e-9 {
		return
	}
	s.retract(true)
	if s.d.hop > 0 {
		up := s.pos
		up.Z += s.d.hop
		if s.d.relativeXY {
			s.say("G91", "")
			s.say("G0 Z"+s.num(s.d.hop), "up")
			s.say("G90", "")
			if s.d.relativeE {
				s.say("M83", "")
			} else {
				s.say("M82", "")
			}
			s.pos = up
		} else {
			s.say("G0"+s.coords(up), "")
			s.pos = up
		}
		over := p
		over.Z = math.Max(up.Z, p.Z)
		s.say("G0"+s.coords(over)+" F"+s.num(9000), "")
		s.pos = over
	}
	s.say("G0"+s.coords(p)+" F"+s.num(9000), "travel")
	s.pos = p
	s.retract(false)
}

func (s *sayer) bead(p r3.Vec, perMM float64) {
	l := math.Hypot(p.X-s.pos.X, p.Y-s.pos.Y)
	if l < 0.002 {
		return
	}
	if n := math.Floor(l / s.d.cut); s.d.cut > 0 && n > 1 {
		d := r3.Scale(1/n, r3.Sub(p, s.pos))
		whole := s.d.cut
		s.d.cut = 0
		for range int(n) {
			s.bead(r3.Add(s.pos, d), perMM)
		}
		s.d.cut = whole
		return
	}
	s.say("G1"+s.coords(p)+s.eWord(l*perMM), "")
	s.count()
	s.pos = p
}

func (s *sayer) count() {
	if !s.part {
		s.file.off++
	} else if s.file.first == 0 {
		s.file.first = s.lines
	}
}

// loop lays a closed polygon, with arcs where the dialect has them and the
// corners lie on a circle.
func (s *sayer) loop(p poly, z, perMM float64) {
	at := func(i int) r3.Vec { v := p[i%len(p)]; return r3.Vec{X: v.X, Y: v.Y, Z: z} }
	s.travel(at(0))
	for i := 0; i < len(p); {
		if n, c, cw := s.circle(p, i); n > 3 {
			to := at(i + n)
			r := math.Hypot(s.pos.X-c.X, s.pos.Y-c.Y)
			turn := math.Atan2(s.pos.Y-c.Y, s.pos.X-c.X) - math.Atan2(to.Y-c.Y, to.X-c.X)
			word := "G2"
			if !cw {
				word, turn = "G3", -turn
			}
			for turn <= 0 {
				turn += 2 * math.Pi
			}
			s.say(word+s.coords(to)+" I"+s.num(c.X-s.pos.X)+" J"+s.num(c.Y-s.pos.Y)+s.eWord(turn*r*perMM), "")
			s.count()
			s.pos = to
			i += n
			continue
		}
		s.bead(at(i+1), perMM)
		i++
	}
	if s.d.wipe {
		part := s.part
		s.part = false
		v := r2.Add(p[0], r2.Scale(math.Min(1, 0.5/r2.Norm(r2.Sub(p[1], p[0]))), r2.Sub(p[1], p[0])))
		s.say("G1"+s.coords(r3.Vec{X: v.X, Y: v.Y, Z: z})+s.eWord(-0.2), "wipe")
		s.pos = r3.Vec{X: v.X, Y: v.Y, Z: z}
		s.say("G1"+s.eWord(0.2), "")
		s.part = part
	}
}

// circle finds how many corners from i on lie on one circle, at most half a
// turn.
func (s *sayer) circle(p poly, i int) (n int, c r2.Vec, clockwise bool) {
	if !s.d.arcs || i+3 > len(p) {
		return 0, c, false
	}
	a, b, d := p[i], p[i+1], p[(i+2)%len(p)]
	ab, ad := r2.Sub(b, a), r2.Sub(d, a)
	cross := r2.Cross(ab, ad)
	if math.Abs(cross) < 1e-4 {
		return 0, c, false
	}
	c = r2.Add(a, r2.Scale(1/(2*cross), r2.Vec{X: ad.Y*r2.Norm2(ab) - ab.Y*r2.Norm2(ad), Y: ab.X*r2.Norm2(ad) - ad.X*r2.Norm2(ab)}))
	r := r2.Norm(r2.Sub(a, c))
	step := r2.Norm(ab)
	for n = 0; i+n+1 <= len(p) && float64(n)*step < 3*r; n++ {
		q := p[(i+n+1)%len(p)]
		l := r2.Norm(r2.Sub(q, p[i+n]))
		if math.Abs(r2.Norm(r2.Sub(q, c))-r) > 0.002 || math.Abs(l-step) > 0.05*step || l > r/2 {
			break
		}
	}
	return n, c, cross < 0
}

func (s *sayer) start() {
	s.say("", "made by nobody")
	s.say("M140 S60", "")
	s.say("M104 S210", "heat")
	if s.d.inches {
		s.say("G20", "")
	} else {
		s.say("G21", "")
	}
	s.say("G90", "")
	s.say("G28", "home")
	if s.d.relativeE {
		s.say("M83", "")
	} else {
		s.say("M82", "")
		s.say("G92 E0", "")
	}
	s.say("M117 Wait (for heat)", "")
	s.say("M109 S210", "")
	s.pos = r3.Vec{X: 1, Y: 1, Z: 5}
	s.say("G1 X"+s.num(1)+" Y"+s.num(1)+" Z"+s.num(5)+" F"+s.num(3000), "")
	if s.d.prime {
		z := s.d.primeZ
		if z == 0 {
			z = 0.27
		}
		s.travel(r3.Vec{X: 5, Y: -2, Z: z})
		s.bead(r3.Vec{X: 90, Y: -2, Z: z}, 0.08)
		s.bead(r3.Vec{X: 90, Y: -1.5, Z: z}, 0.08)
		s.bead(r3.Vec{X: 5, Y: -1.5, Z: z}, 0.08)
	}
	s.say("M106 S127", "fan")
}

func (s *sayer) end() {
	s.retract(true)
	switch s.d.park {
	case "relative":
		s.say("G91", "")
		s.say("G1 Z"+s.num(10)+" F"+s.num(600), "")
		s.say("G90", "")
	case "home":
		s.say("G28 X Y", "")
	default:
		s.say("G1 X0 Y"+s.num(200)+" F"+s.num(6000), "")
	}
	s.say("M104 S0", "")
	s.say("M140 S0", "")
	s.say("M84", "done")
}

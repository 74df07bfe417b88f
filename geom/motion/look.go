package motion

import (
	"bytes"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Modes is what the lines so far have set and later lines rely on.
type Modes struct {
	Unit                float64 // mm for one unit of length: 1, or 25.4 after G20
	Relative, ERelative bool    // G91; M83, or G91 without an M82
	Inverse             bool    // G93
	Rapid               bool    // the last motion word was G0
	Plane               int     // 17, 18 or 19
	E                   float64 // what an absolute E word would say to push nothing, in the file's units
	Feed                float64 // the F in force, in the file's units; 0: none said
	VolumetricDiameter  float64 // after M200: of the filament, mm; 0: E is a length
	Offset              r3.Vec  // of G92, mm: a word says its place less this
}

// Look is a line of a file that is about to be carried out. It holds only until
// the callback returns.
type Look struct {
	Line int    // 1-based
	Raw  []byte // the line as it stands, without its end
	r    *reader
}

// Modes returns the modes in force before the line.
func (l *Look) Modes() Modes {
	r := l.r
	m := Modes{
		Unit: r.unit, Relative: r.relative, ERelative: r.eRelative, Inverse: r.inverse, Rapid: r.motion == g0,
		E: r.e / r.eUnit(), Feed: r.feed, Offset: r3.Vec{X: r.off[0], Y: r.off[1], Z: r.off[2]},
		Plane: 17,
	}
	if !r.inverse {
		m.Feed /= r.unit
	}
	if r.area > 0 {
		m.VolumetricDiameter = r.diameter
	}
	switch r.plane[2] {
	case 0:
		m.Plane = 19
	case 1:
		m.Plane = 18
	}
	return m
}

// Words appends the line to dst without its comments, line number and checksum:
// what a controller carries out. Nothing is left of a line that is no more than
// a comment.
func (l *Look) Words(dst []byte) []byte {
	s := trim(l.Raw)
	if len(s) == 0 || s[0] == ';' || s[0] == '%' {
		return dst
	}
	numbered := s[0]|0x20 == 'n'
	if _, next, ok, _ := number(s, 1); numbered && ok {
		s = trim(unsummed(s)[next:])
	} else if !foreign(s) && s[0]|0x20 != 'm' {
		s = unsummed(s)
	}
	if len(s) > 0 && s[0]|0x20 == 'm' {
		if v, _, ok, _ := number(s, 1); ok && takesText(int16(math.Min(v*10+0.5, math.MaxInt16))) {
			if i := bytes.IndexByte(s, ';'); i >= 0 {
				s = s[:i]
			}
			return append(dst, trim(s)...)
		}
	}
	return append(dst, trim(plain(nil, s))...)
}

// unsummed returns s without its checksum, if it has one.
func unsummed(s []byte) []byte {
	code := s
	if i := bytes.IndexByte(s, ';'); i >= 0 {
		code = s[:i]
	}
	star := bytes.LastIndexByte(code, '*')
	if star < 0 {
		return s
	}
	for _, c := range trim(code[star+1:]) {
		if c < '0' || c > '9' {
			return s
		}
	}
	return s[:star]
}

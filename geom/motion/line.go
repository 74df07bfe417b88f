package motion

import (
	"bytes"
	"math"
	"strconv"

	"conewright/geom/message"
)

// line carries out one line of the file.
func (r *reader) line(s []byte) error {
	if r.opt.Look != nil {
		r.opt.Look(&Look{Line: int(r.st.Lines), Raw: s, r: r})
	}
	for len(s) > 0 && blank(s[0]) {
		s = s[1:]
	}
	if len(s) == 0 {
		return nil
	}
	if foreign(s) {
		return r.event(Word, s, CodeForeign)
	}
	if c := s[0] | 0x20; c == 'n' || c == 'm' || c > 'g' || c < 'f' {
		return r.odd(s)
	}
	return r.words(s)
}

// odd handles what isn't a plain line of G or F words at its beginning.
func (r *reader) odd(s []byte) error {
	switch s[0] {
	case ';', '%':
		if r.opt.Marked {
			r.mark(s)
		}
		return nil
	case '/':
		return r.problem(s, "a line that an operator may switch off (/)")
	case 'N', 'n':
		var err error
		if s, err = r.numbered(s); err != nil || len(s) == 0 {
			return err
		}
	}
	if s[0] == 'M' || s[0] == 'm' {
		return r.mLine(s)
	}
	if i := bytes.IndexByte(s, '*'); i >= 0 {
		body, why := r.checked(s)
		if why.Format != "" {
			if err := r.notice(s, CodeChecksum, why); err != nil {
				return err
			}
		}
		s = body
	}
	return r.words(s)
}

// mark takes a comment that may be SupportLine or PartLine.
func (r *reader) mark(s []byte) {
	switch string(s) {
	case SupportLine:
		r.support = true
	case PartLine:
		r.support = false
	}
}

// numbered takes the line number and the checksum off a line.
func (r *reader) numbered(s []byte) ([]byte, error) {
	body, why := r.checked(s)
	if why.Format != "" {
		if err := r.notice(s, CodeChecksum, why); err != nil {
			return nil, err
		}
	}
	_, next, ok, sign := number(body, 1)
	if !ok {
		if sign || len(trim(body)) == 1 {
			return nil, r.problem(s, "N without a line number")
		}
		return body, nil // a word that begins with N: not RS-274
	}
	return trim(body[next:]), nil
}

// checked cuts a line's checksum off: what follows the last * outside of
// comments, the exclusive or of all bytes before it (printing practice, no
// source). why is empty where there is none or where it is right.
func (r *reader) checked(s []byte) (body []byte, why message.Text) {
	code := s
	if i := bytes.IndexByte(s, ';'); i >= 0 {
		code = s[:i]
	}
	star := bytes.LastIndexByte(code, '*')
	if star < 0 {
		return s, message.Text{}
	}
	want, err := strconv.ParseUint(string(trim(code[star+1:min(len(code), star+20)])), 10, 32)
	if err != nil {
		return s, message.Text{}
	}
	var sum byte
	for _, c := range s[:star] {
		sum ^= c
	}
	if want != uint64(sum) {
		r.st.Checksums++
		why = message.New("the checksum is %d, the line's own %d", want, sum)
	}
	return s[:star], why
}

// words parses a line and carries it out.
func (r *reader) words(s []byte) error {
	if why := r.parse(s); why != "" {
		return r.unread(s, why)
	}
	return r.execute(s)
}

// parse takes the words of s into r.b, if need be with the blanks inside its
// numbers taken out.
func (r *reader) parse(s []byte) string {
	why := r.b.parse(s)
	if why == whySpaced {
		r.scratch = squeeze(r.scratch[:0], s)
		if why = r.b.parse(r.scratch); why == whySpaced {
			why = whyNumber
		}
	}
	return why
}

// unread handles a line that isn't words: a checksum without a line number, or
// a fault.
func (r *reader) unread(s []byte, why string) error {
	if why == whyChar && bytes.IndexByte(s, '*') >= 0 {
		if body, sumWhy := r.checked(s); len(body) < len(s) {
			if sumWhy.Format != "" {
				if err := r.notice(s, CodeChecksum, sumWhy); err != nil {
					return err
				}
			}
			return r.words(body)
		}
	}
	return r.problem(s, why)
}

// foreign reports a line that begins with a name of three or more letters:
// some controllers run macros by name. RS-274 has no such word.
func foreign(s []byte) bool {
	if len(s) < 3 || s[1] < 'A' {
		return false
	}
	n := 0
	for n < len(s) && (s[n] == '_' || s[n]|0x20 >= 'a' && s[n]|0x20 <= 'z') {
		n++
	}
	return n >= 3
}

// mLine handles a line that begins with an M word. Its other letters are the
// M word's own, unless a G word follows: then it is a block like any other.
func (r *reader) mLine(s []byte) error {
	v, next, ok, _ := number(s, 1)
	if !ok {
		return r.unread(s, whyCode)
	}
	m := int16(min(v*10+0.5, math.MaxInt16))
	if understood(m) || split(s[next:]) && !takesText(m) {
		return r.words(s)
	}
	if !takesText(m) && bytes.ContainsAny(s[next:], "Gg") && r.parse(s) == "" && r.b.ng > 0 {
		return r.execute(s)
	}
	return r.event(Word, s, "")
}

// split reports that a number goes on after a blank.
func split(s []byte) bool {
	rest := trim(s)
	return len(rest) > 0 && len(rest) < len(s) && rest[0]-'0' <= 9
}

// understood reports the M words that the reader itself carries out.
func understood(m int16) bool {
	return m == 820 || m == 830 || m == 1100 || m == 2000
}

// event reports a line without motion.
func (r *reader) event(k Kind, s []byte, code string) error {
	if k == Word && code == "" && len(s) > 0 && s[0]|0x20 == 'm' {
		if v, _, ok, _ := number(s, 1); ok && takesText(int16(min(v*10+0.5, math.MaxInt16))) {
			if i := bytes.IndexByte(s, ';'); i >= 0 {
				s = s[:i]
			}
			return r.emit(k, trim(s), code, message.Text{})
		}
	}
	r.text = plain(r.text[:0], s)
	return r.emit(k, trim(r.text), code, message.Text{})
}

func (r *reader) emit(k Kind, text []byte, code string, why message.Text) error {
	*r.ev = Event{Kind: k, Line: int(r.st.Lines), Text: text, Code: code, Why: why}
	r.ev.From.X, r.ev.From.Y, r.ev.From.Z = r.pos[0], r.pos[1], r.pos[2]
	r.ev.To, r.ev.FromKnown, r.ev.ToKnown = r.ev.From, r.known, r.known
	r.ev.FromSwivel, r.ev.ToSwivel = r.swivel, r.swivel
	return r.each(r.ev)
}

// problem reports a line that wasn't carried out. Where the machine is after it
// is a guess.
func (r *reader) problem(s []byte, why string) error {
	r.st.Problems++
	r.known = 0
	return r.emit(Problem, trim(s), CodeUnknownWord, message.Text{Format: why})
}

func (r *reader) notice(s []byte, code string, why message.Text) error {
	return r.emit(Notice, trim(s), code, why)
}

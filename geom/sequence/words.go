package sequence

import (
	"strconv"
	"strings"

	"conewright/geom/message"
	"conewright/geom/motion"
)

// mostCode is the greatest number of an M word that firmwares use (from memory);
// what is beyond is a slip of the pen.
const mostCode = 9999

// word takes a line that moves nothing.
func (s *reading) word(ev *motion.Event) {
	text := strings.ToUpper(string(ev.Text))
	if ev.Code == motion.CodeForeign {
		// A macro's name is one word, perhaps with NAME=VALUE after it.
		name, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
		s.macro = true
		for _, w := range strings.Fields(rest) {
			if !strings.Contains(w, "=") {
				s.remark(ev.Line, message.New("it isn't understood: %s", message.New("no word of motion, and no macro's name alone")))
				return
			}
		}
		if strings.Contains(name, "HOME") || strings.Contains(name, "START") {
			s.remark(ev.Line, message.New("what this macro does isn't known here: make sure that it homes, heats and lifts"))
		}
		return
	}
	if text == "" || text[0] != 'M' {
		return
	}
	code, rest := cutCode(text)
	if n, err := strconv.Atoi(strings.TrimPrefix(code, "M")); err != nil || n > mostCode {
		s.remark(ev.Line, message.New("it isn't understood: %s", message.New("no M word that is known")))
		return
	}
	degrees, ok := number(rest, 'S')
	if !ok {
		degrees, ok = number(rest, 'R')
	}
	if !ok {
		return
	}
	s.heated[code] = max(s.heated[code], degrees)
	switch {
	case code == "M104" || code == "M109":
		s.coldNozzle = degrees <= 0
	case code == "M140" || code == "M190":
		s.coldBed = degrees <= 0
	}
}

// cutCode returns a line's first word without blanks, and what follows.
func cutCode(text string) (code, rest string) {
	text = "M" + strings.TrimLeft(text[1:], " \t")
	end := 1
	for end < len(text) && text[end] >= '0' && text[end] <= '9' {
		end++
	}
	return text[:end], text[end:]
}

// number returns the number of a letter's word.
func number(text string, letter byte) (float64, bool) {
	i := strings.IndexByte(text, letter)
	if i < 0 {
		return 0, false
	}
	rest := strings.TrimLeft(text[i+1:], " \t")
	end := 0
	for end < len(rest) && strings.IndexByte("+-.0123456789", rest[end]) >= 0 {
		end++
	}
	v, err := strconv.ParseFloat(rest[:end], 64)
	return v, err == nil
}

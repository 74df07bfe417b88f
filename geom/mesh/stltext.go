package mesh

import (
	"bytes"
)

// plainLine is how long lines should be for the library to be quick: it sets
// up a scanner for each, and takes no more than 64 KiB in one.
const plainLine = 16 << 10

// plainSTL writes a text STL the one way that the library reads: one solid, in
// small letters, no byte order mark, no blank lines, no carriage returns.
// Further solids in the file are joined to the first. Normals are not used and
// often wrong ("-nan(ind)"), so they become zero. ended tells that the last
// solid was ended. A line begins with a facet, once the last is longer than
// long bytes; the header is a line by itself.
func plainSTL(text []byte, long int) (plain []byte, ended bool) {
	out := make([]byte, 0, len(text)+32)
	out = append(out, "solid \n"...)
	begun := len(out) // where the line begins
	for line := range lines(text) {
		word := firstWord(line)
		facet := bytes.EqualFold(word, []byte("facet"))
		switch {
		case bytes.EqualFold(word, []byte("solid")):
			ended = false
			continue
		case bytes.EqualFold(word, []byte("endsolid")):
			ended = true
			continue
		case facet && len(bytes.Fields(line)) == 5:
			line = []byte("facet normal 0 0 0")
		}
		if facet && len(out)-begun > long {
			out = append(out, '\n')
			begun = len(out)
		}
		out = appendLower(out, line)
		out = append(out, ' ')
	}
	return append(out, "\nendsolid\n"...), ended
}

func appendLower(out, line []byte) []byte {
	for _, c := range line {
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		out = append(out, c)
	}
	return out
}

// lines yields the lines that hold something, without blanks around them.
func lines(text []byte) func(yield func([]byte) bool) {
	return func(yield func([]byte) bool) {
		for text = bytes.TrimPrefix(text, byteOrderMark); len(text) > 0; {
			line := text
			if end := bytes.IndexAny(text, "\r\n"); end >= 0 {
				line, text = text[:end], text[end+1:]
			} else {
				text = nil
			}
			if line = bytes.Trim(line, " \t\v\f\x1a"); len(line) > 0 && !yield(line) {
				return
			}
		}
	}
}

func firstWord(line []byte) []byte {
	if i := bytes.IndexAny(line, " \t"); i >= 0 {
		return line[:i]
	}
	return line
}

// lineOfFacet returns the number, counted from 1, of the line on which the
// n-th facet begins; the last line if there are fewer.
func lineOfFacet(text []byte, n int) int {
	number := 0
	for line := range bytes.SplitSeq(text, []byte("\n")) {
		number++
		if bytes.EqualFold(firstWord(bytes.TrimSpace(line)), []byte("facet")) {
			if n--; n == 0 {
				break
			}
		}
	}
	return number
}

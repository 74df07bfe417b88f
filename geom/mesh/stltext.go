package mesh

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strconv"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// maxSTLLine bounds a line of a text STL. Real ones hold some fifty bytes.
const maxSTLLine = 64 << 10

// readTextSTL reads a text STL line by line, so that a large one is never held
// whole. It takes capitals, blank lines, carriage returns, several solids, and
// whatever stands for a normal, which isn't used. Source of the format: the
// stereolithography interface specification of 1989, from memory.
func readTextSTL(src io.Reader, s *soup) error {
	t := stlText{soup: s, line: 1}
	scanner := bufio.NewScanner(src)
	scanner.Buffer(make([]byte, 0, maxSTLLine), maxSTLLine)
	scanner.Split(splitLines)
	for scanner.Scan() {
		if err := t.statement(t.count(scanner.Bytes())); err != nil {
			if _, bad := err.(*ReadError); bad && !t.ended && !scanner.Scan() && scanner.Err() == nil {
				break // cut off amid a line
			}
			return err
		}
	}
	switch err := scanner.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return fault(FaultSize, message.New("line %d", t.line), message.New("the line is too long"), mendExport)
	case err != nil:
		return err
	case !t.ended:
		return fault(FaultTruncated, message.New("line %d", t.line), message.New(`the file ends without "endsolid"`), mendExport)
	}
	return nil
}

// splitLines returns a line with the line breaks before it, so that millions of
// empty lines are one.
func splitLines(data []byte, atEOF bool) (advance int, token []byte, err error) {
	begin := 0
	for begin < len(data) && lineBreak(data[begin]) {
		begin++
	}
	end := begin
	for end < len(data) && !lineBreak(data[end]) {
		end++
	}
	if end < len(data) || atEOF && end > 0 {
		return end, data[:end], nil
	}
	if begin == len(data) && begin > 0 {
		return begin, data[:begin], nil
	}
	return 0, nil, nil
}

func lineBreak(b byte) bool { return b == '\n' || b == '\r' }

// count counts the line breaks ("\n", "\r\n" or "\r") before a line and cuts
// them off.
func (t *stlText) count(line []byte) []byte {
	begin := 0
	for begin < len(line) && lineBreak(line[begin]) {
		begin++
	}
	n := bytes.Count(line[:begin], []byte("\n"))
	if n == 0 {
		n = begin
	}
	t.line += n
	if t.line == 1 {
		return bytes.TrimPrefix(line, byteOrderMark)
	}
	return line[begin:]
}

// stlText is where the reading stands.
type stlText struct {
	*soup
	line    int
	begin   int // the line on which the facet begins
	open    bool
	ended   bool // the last solid
	corners []r3.Vec
}

func (t *stlText) fault(kind Fault, what message.Text) error {
	return fault(kind, message.New("facet %d (line %d)", len(t.facets)+1, max(t.begin, 1)), what, mendExport)
}

// statement reads one line, which may hold several words of the format.
func (t *stlText) statement(line []byte) error {
	for {
		var word []byte
		word, line = cutWord(line)
		switch {
		case len(word) == 0:
			return nil
		case is(word, "vertex"):
			var err error
			if line, err = t.vertex(line); err != nil {
				return err
			}
		case is(word, "outer"), is(word, "loop"), is(word, "endloop"):
		case is(word, "facet"):
			if t.open {
				return t.fault(FaultFormat, message.New("the text can't be read"))
			}
			t.open, t.begin, t.corners = true, t.line, t.corners[:0]
			if word, rest := cutWord(line); is(word, "normal") {
				for line = rest; len(word) > 0 && !is(word, "outer"); { // numbers that aren't used
					line = rest
					word, rest = cutWord(line)
				}
			}
		case is(word, "endfacet"):
			if err := t.facet(); err != nil {
				return err
			}
		case is(word, "solid"), is(word, "endsolid"):
			t.ended = len(word) > len("solid")
			return nil // the rest is a name
		default:
			return t.fault(FaultFormat, message.New("the text can't be read"))
		}
	}
}

func (t *stlText) vertex(line []byte) (rest []byte, err error) {
	var v [3]float64
	for i := range v {
		var word []byte
		word, line = cutWord(line)
		x, err := strconv.ParseFloat(string(word), 32)
		if err != nil && !errors.Is(err, strconv.ErrRange) { // out of range: not finite, as facet says
			return nil, t.fault(FaultFormat, message.New("a coordinate of the vertex is not a number"))
		}
		v[i] = x
	}
	if len(t.corners) == 3 || !t.open {
		return nil, t.fault(FaultFormat, message.New(`a facet needs "vertex" three times`))
	}
	t.corners = append(t.corners, r3.Vec{X: v[0], Y: v[1], Z: v[2]})
	return line, nil
}

func (t *stlText) facet() error {
	if len(t.corners) != 3 || !t.open {
		return t.fault(FaultFormat, message.New(`a facet needs "vertex" three times`))
	}
	t.open = false
	t.add(t.corners[0], t.corners[1], t.corners[2])
	return t.err
}

// cutWord returns the first word of a line and what follows it. The mark that
// ends old text files (26) counts as a blank.
func cutWord(line []byte) (word, rest []byte) {
	begin := 0
	for begin < len(line) && (line[begin] <= ' ') {
		begin++
	}
	end := begin
	for end < len(line) && line[end] > ' ' {
		end++
	}
	return line[begin:end], line[end:]
}

// is compares a word with one of the format, capitals or not.
func is(word []byte, want string) bool {
	if len(word) != len(want) {
		return false
	}
	for i := range len(want) {
		if word[i]|0x20 != want[i] {
			return false
		}
	}
	return true
}

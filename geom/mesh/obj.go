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

// maxOBJLine bounds one line, and so one polygon.
const maxOBJLine = 1 << 20

// readOBJ reads the vertices and polygons of a Wavefront OBJ file: v x y z and
// f with v, v/vt, v//vn or v/vt/vn, counted from 1 or back from -1; polygons
// are fanned. Everything else in the file is skipped. Source of the format:
// the "Object Files" appendix of the Advanced Visualizer manual, from memory.
func readOBJ(src io.Reader, s *soup) error {
	o := objReader{soup: s}
	scanner := bufio.NewScanner(src)
	scanner.Buffer(make([]byte, 0, 1<<16), maxOBJLine)
	var kept []byte // a line that goes on after a backslash
	for scanner.Scan() {
		o.line++
		line := bytes.TrimRight(scanner.Bytes(), " \t\r")
		if o.line == 1 {
			line = bytes.TrimPrefix(line, byteOrderMark)
		}
		if n := len(line); n > 0 && line[n-1] == '\\' {
			if kept = append(append(kept, line[:n-1]...), ' '); len(kept) > maxOBJLine {
				return o.fault(FaultSize, message.New("the line is too long"))
			}
			continue
		}
		if len(kept) > 0 {
			line, kept = append(kept, line...), kept[:0]
		}
		if err := o.statement(line); err != nil {
			return err
		}
	}
	if errors.Is(scanner.Err(), bufio.ErrTooLong) {
		o.line++
		return o.fault(FaultSize, message.New("the line is too long"))
	}
	return scanner.Err()
}

type objReader struct {
	*soup
	line    int
	points  []r3.Vec
	polygon []r3.Vec
}

func (o *objReader) fault(kind Fault, what message.Text) error {
	return fault(kind, message.New("line %d", o.line), what, mendExport)
}

func (o *objReader) statement(line []byte) error {
	if i := bytes.IndexByte(line, '#'); i >= 0 {
		line = line[:i]
	}
	word, rest, _ := bytes.Cut(bytes.TrimLeft(line, " \t"), []byte(" "))
	if i := bytes.IndexByte(word, '\t'); i >= 0 {
		word, rest = word[:i], line[bytes.IndexByte(line, '\t'):]
	}
	switch string(word) {
	case "v":
		return o.vertex(rest)
	case "f", "fo": // fo: the same, obsolete
		return o.face(rest)
	}
	return nil
}

func (o *objReader) vertex(rest []byte) error {
	var v [3]float64
	n := 0
	for field := range bytes.FieldsSeq(rest) {
		if n == 3 {
			break // a weight or a colour
		}
		x, err := strconv.ParseFloat(string(field), 64)
		if err != nil {
			return o.fault(FaultNumber, message.New("a coordinate of the vertex is not a number"))
		}
		v[n] = x
		n++
	}
	if n < 3 {
		return o.fault(FaultFormat, message.New("a vertex needs three coordinates"))
	}
	p := r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	if !plausible(r3.Scale(o.unit, p)) {
		return badCoordinate(message.New("line %d", o.line), r3.Scale(o.unit, p))
	}
	if len(o.points) >= o.opt.MaxFacets { // a closed mesh has half as many vertices as facets
		return fault(FaultSize, message.New("line %d", o.line), message.New("more than %d vertices", o.opt.MaxFacets), mendLimit)
	}
	o.points = append(o.points, p)
	return nil
}

func (o *objReader) face(rest []byte) error {
	o.polygon = o.polygon[:0]
	for field := range bytes.FieldsSeq(rest) {
		number, _, _ := bytes.Cut(field, []byte("/"))
		i, err := strconv.Atoi(string(number))
		if err != nil {
			return o.fault(FaultFormat, message.New("a corner of the polygon is not a number"))
		}
		if i < 0 {
			i += len(o.points) + 1
		}
		if i < 1 || i > len(o.points) {
			return o.fault(FaultIndex, message.New("the polygon refers to vertex %s of %d", number, len(o.points)))
		}
		o.polygon = append(o.polygon, o.points[i-1])
	}
	if len(o.polygon) < 3 {
		return o.fault(FaultFormat, message.New("a polygon needs three corners"))
	}
	for i := 1; i+1 < len(o.polygon); i++ {
		o.add(o.polygon[0], o.polygon[i], o.polygon[i+1])
	}
	if r, ok := o.err.(*ReadError); ok {
		r.Where = message.New("line %d", o.line)
	}
	return o.err
}

package mesh

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"

	"conewright/geom/message"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	stlHeader = 84 // 80 bytes of anything, then the number of facets
	stlFacet  = 50 // normal, three corners, two bytes of anything
)

// readSTL tells binary from text by the file's size: binary is exactly what
// its count says, even if its header begins with "solid". Else a file is text
// where it begins so, and else binary with something after its facets.
func readSTL(src io.ReaderAt, size int64, s *soup) error {
	head := make([]byte, min(size, 1024))
	if _, err := src.ReadAt(head, 0); err != nil && err != io.EOF {
		return err
	}
	count, rest := int64(0), int64(-1)
	if size >= stlHeader {
		count = int64(binary.LittleEndian.Uint32(head[80:]))
		rest = size - stlHeader - count*stlFacet
	}
	switch {
	case rest == 0:
		return readBinarySTL(src, count, s)
	case looksLikeText(head):
		return readTextSTL(io.NewSectionReader(src, 0, size), s)
	case plainText(head):
		return fault(FaultFormat, message.Text{}, message.New("this is plain text, not an STL"), mendExport)
	case rest > 0 && !moreFacets(src, stlHeader+count*stlFacet, rest):
		s.remarks.Trailing = rest
		return readBinarySTL(src, count, s)
	}
	return binaryFault(count, size)
}

// plainText reports that a file begins with letters and nothing else. No binary
// STL does: its numbers hold bytes that no text has.
func plainText(head []byte) bool {
	for _, b := range head {
		if b < ' ' && b != '\t' && b != '\r' && b != '\n' && b != '\f' {
			return false
		}
	}
	return len(head) > 0
}

// moreFacets reports that what follows the promised facets is facets too: the
// count is wrong then. Whole facets follow, and the first has three different
// corners in reach.
func moreFacets(src io.ReaderAt, at, rest int64) bool {
	var b [stlFacet]byte
	if rest%stlFacet != 0 {
		return false
	}
	if _, err := src.ReadAt(b[:], at); err != nil && err != io.EOF {
		return false
	}
	var corner [3]r3.Vec
	for i := range corner {
		number := func(k int) float64 {
			return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[12+12*i+4*k:])))
		}
		corner[i] = r3.Vec{X: number(0), Y: number(1), Z: number(2)}
		if !plausible(corner[i]) {
			return false
		}
	}
	return corner[0] != corner[1] && corner[1] != corner[2] && corner[2] != corner[0]
}

func binaryFault(count, size int64) error {
	if size < stlHeader {
		return fault(FaultTruncated, message.New("byte %d", size), message.New("the file ends inside the header of a binary STL"), mendExport)
	}
	room := (size - stlHeader) / stlFacet
	if rest := (size - stlHeader) % stlFacet; count > room && rest != 0 {
		return fault(FaultTruncated, message.New("facet %d (byte %d)", room+1, size),
			message.New("the file ends inside a facet; its header promises %d facets", count), mendExport)
	}
	return fault(FaultCount, message.New("byte %d", 80),
		message.New("the header promises %d facets, but the file has room for %d", count, room), mendExport)
}

// readBinarySTL hands the facets to s. The library reads by the count, which
// the caller checked against the size.
func readBinarySTL(src io.ReaderAt, count int64, s *soup) error {
	if count > int64(s.opt.MaxFacets) {
		return tooManyFacets(s.opt.MaxFacets)
	}
	s.expect(int(count))
	return stl.CopyAll(io.NewSectionReader(src, 0, stlHeader+count*stlFacet), stlSink{s})
}

// stlSink is what the library writes facets to.
type stlSink struct{ *soup }

var _ stl.Writer = stlSink{}

func (stlSink) SetName(string)          {}
func (stlSink) SetBinaryHeader([]byte)  {}
func (stlSink) SetASCII(bool)           {}
func (stlSink) SetTriangleCount(uint32) {}
func (s stlSink) AppendTriangle(t stl.Triangle) {
	v := &t.Vertices
	s.add(stlVec(v[0]), stlVec(v[1]), stlVec(v[2]))
}

func stlVec(v stl.Vec3) r3.Vec {
	return r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
}

var byteOrderMark = []byte("\xef\xbb\xbf")

// looksLikeText reports that a file which begins so is meant as a text STL.
func looksLikeText(head []byte) bool {
	head = bytes.TrimPrefix(head, byteOrderMark)
	head = bytes.TrimLeft(head, " \t\r\n")
	return len(head) >= 5 && bytes.EqualFold(head[:5], []byte("solid")) && !bytes.ContainsRune(head, 0)
}

package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	stlHeader = 84 // 80 bytes of anything, then the number of facets
	stlFacet  = 50 // normal, three corners, two bytes of anything
)

// readSTL tells binary from text by the file's size: binary is exactly what
// its count says, even if its header begins with "solid".
func readSTL(src Source, size int64, s *soup) error {
	head := make([]byte, min(size, 1024))
	if _, err := src.ReadAt(head, 0); err != nil && err != io.EOF {
		return err
	}
	if size >= stlHeader {
		count := int64(binary.LittleEndian.Uint32(head[80:]))
		if size == stlHeader+count*stlFacet {
			return readBinarySTL(src, int(count), s)
		}
	}
	if looksLikeText(head) {
		return readTextSTL(src, size, s)
	}
	if plainText(head) {
		return fault(FaultFormat, "", "this is plain text, not an STL", mendExport)
	}
	return binaryFault(head, size)
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

func binaryFault(head []byte, size int64) error {
	if size < stlHeader {
		return fault(FaultTruncated, fmt.Sprintf("byte %d", size), "the file ends inside the header of a binary STL", mendExport)
	}
	count := int64(binary.LittleEndian.Uint32(head[80:]))
	room := (size - stlHeader) / stlFacet
	if rest := (size - stlHeader) % stlFacet; count > room && rest != 0 {
		return fault(FaultTruncated, fmt.Sprintf("facet %d (byte %d)", room+1, size),
			fmt.Sprintf("the file ends inside a facet; its header promises %d facets", count), mendExport)
	}
	return fault(FaultCount, "byte 80",
		fmt.Sprintf("the header promises %d facets, but the file has room for %d", count, room), mendExport)
}

// readBinarySTL hands the facets to s. The library reads by the count, which
// the caller checked against the size.
func readBinarySTL(src io.ReadSeeker, count int, s *soup) error {
	if count > s.opt.MaxFacets {
		return tooManyFacets(s.opt.MaxFacets)
	}
	s.expect(count)
	return copySTL(src, s)
}

func copySTL(src io.ReadSeeker, s *soup) error {
	if _, err := src.Seek(0, io.SeekStart); err != nil {
		return err
	}
	return stl.CopyAll(src, stlSink{s})
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
	return len(head) >= 5 && strings.EqualFold(string(head[:5]), "solid") && !bytes.ContainsRune(head, 0)
}

// readTextSTL puts the text into the one shape that the library takes, and
// turns what it complains about into a place.
func readTextSTL(src io.ReaderAt, size int64, s *soup) error {
	text := make([]byte, size)
	if _, err := io.ReadFull(io.NewSectionReader(src, 0, size), text); err != nil {
		return err
	}
	plain, ended := plainSTL(text, plainLine)
	err := copySTL(bytes.NewReader(plain), s)
	switch {
	case s.err != nil:
		return s.err
	case !ended:
		return fault(FaultTruncated, fmt.Sprintf("line %d", bytes.Count(text, []byte("\n"))+1),
			`the file ends without "endsolid"`, mendExport)
	case err != nil:
		return textFault(text)
	}
	return nil
}

// textFault finds the place of the library's first complaint, by reading again
// with one line a facet.
func textFault(text []byte) error {
	plain, _ := plainSTL(text, 0)
	facet, what := 1, "the text can't be read"
	if err := copySTL(bytes.NewReader(plain), newSoup(ReadOptions{})); err != nil {
		for line := range strings.SplitSeq(err.Error(), "\n") {
			number, rest, _ := strings.Cut(line, ": ")
			if n, err := strconv.Atoi(number); err == nil {
				facet, what = max(n-1, 1), what+": "+rest
				break
			}
		}
	}
	return fault(FaultFormat, fmt.Sprintf("facet %d (line %d)", facet, lineOfFacet(text, facet)), what, mendExport)
}

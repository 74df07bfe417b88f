package mesh

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"testing"
	"time"
)

// repeated is a file of a head, one piece again and again, and a tail. It holds
// none of it, so that only the reader's memory is measured.
type repeated struct {
	head, piece, tail string
	n                 int64
}

func (r repeated) size() int64 {
	return int64(len(r.head)) + r.n*int64(len(r.piece)) + int64(len(r.tail))
}

func (r repeated) ReadAt(p []byte, off int64) (int, error) {
	n := 0
	for n < len(p) && off < r.size() {
		var from string
		switch at := off - int64(len(r.head)); {
		case at < 0:
			from = r.head[off:]
		case at < r.n*int64(len(r.piece)):
			from = r.piece[at%int64(len(r.piece)):]
		default:
			from = r.tail[at-r.n*int64(len(r.piece)):]
		}
		k := copy(p[n:], from)
		n, off = n+k, off+int64(k)
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (r repeated) Read3MF() io.Reader { return io.NewSectionReader(r, 0, r.size()) }

const bombHead = `<model xmlns="` + coreSpace + `">`

// bombPackage packs one model file, and relations unless they are given.
func bombPackage(t *testing.T, model repeated, relations *repeated) []byte {
	if relations == nil {
		relations = &repeated{head: `<Relationships><Relationship Type="` + modelRelation + `" Target="/m"/></Relationships>`}
	}
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
	for name, r := range map[string]repeated{rootRelations: *relations, "m": model} {
		w, err := z.Create(name)
		if err == nil {
			_, err = io.Copy(w, r.Read3MF())
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// manyFiles is a package whose directory lists n files.
func manyFiles(t *testing.T, n int) []byte {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for range n {
		if _, err := z.CreateRaw(&zip.FileHeader{Name: "x"}); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func doublingTree() string {
	var b strings.Builder
	b.WriteString(bombHead + "<resources>" + cube3MF(1, "model"))
	for i := 2; i < 30; i++ {
		fmt.Fprintf(&b, `<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
	}
	b.WriteString(`</resources><build><item objectid="29"/></build></model>`)
	return b.String()
}

func stlOf(count int64, facet []byte) repeated {
	head := make([]byte, stlHeader)
	binary.LittleEndian.PutUint32(head[80:], uint32(count))
	return repeated{head: string(head), piece: string(facet), n: count}
}

// Each reader is through with a file that is small or cheap to make, but costly
// to take in, within ten seconds and 1 GiB, and within half a second when asked.
func TestReadersBearBombs(t *testing.T) {
	whole := int64(512 << 20) // what a bomb unpacks to
	if testing.Short() {
		whole /= 16
	}
	inModel := func(before, piece, after string) func() (io.ReaderAt, int64) {
		return func() (io.ReaderAt, int64) {
			data := bombPackage(t, repeated{head: bombHead + before, piece: piece, n: whole / int64(len(piece)), tail: after + "</model>"}, nil)
			return bytes.NewReader(data), int64(len(data))
		}
	}
	packed := func(data []byte) (io.ReaderAt, int64) { return bytes.NewReader(data), int64(len(data)) }
	text := func(head, piece string) func() (io.ReaderAt, int64) {
		return func() (io.ReaderAt, int64) {
			r := repeated{head: head, piece: piece, n: (whole - int64(len(head))) / int64(len(piece))}
			return r, r.size()
		}
	}
	const inVertices = `<resources><object id="1"><mesh><vertices>`
	const inTriangles = inVertices + `<vertex x="0" y="0" z="0"/></vertices><triangles>`
	for _, c := range []struct {
		name, file string
		make       func() (io.ReaderAt, int64)
	}{
		{"3MF of unknown attributes", "a.3mf", inModel(inTriangles, `<triangle v1="0" v2="0" v3="0" a="" b="" c="" d=""/>`, "")},
		{"3MF of unknown elements", "a.3mf", inModel("", `<q:e xmlns:q="r"/>`, "")},
		{"3MF of elements in elements", "a.3mf", inModel("", `<e>`, "")},
		{"3MF of blanks", "a.3mf", inModel("", "                ", "")},
		{"3MF of one comment", "a.3mf", inModel("<!--", "- > ", "-->")},
		{"3MF of one tag", "a.3mf", inModel("<e ", `a="" `, "/>")},
		{"3MF of one value", "a.3mf", inModel(`<e a="`, `>`, `"/>`)},
		{"3MF of name spaces", "a.3mf", inModel("", `<e xmlns:a="a" xmlns:b="b" xmlns:c="c" xmlns:d="d"/>`, "")},
		{"3MF of entities", "a.3mf", inModel("", `<e a="&amp;&amp;&amp;&amp;&amp;&amp;"/>`, "")},
		{"3MF of empty facets", "a.3mf", inModel(inTriangles, `<triangle v1="0" v2="0" v3="0"/>`, `</triangles></mesh></object></resources><build><item objectid="1"/></build>`)},
		{"3MF of vertices", "a.3mf", inModel(inVertices, `<vertex x="1" y="2" z="3"/>`, "")},
		{"3MF of objects", "a.3mf", inModel("<resources>", `<object id="1"/>`, "")},
		{"3MF of items", "a.3mf", inModel(`<resources>`+cube3MF(1, "model")+`</resources><build>`, `<item objectid="1"/>`, "</build>")},
		{"3MF of relations", "a.3mf", func() (io.ReaderAt, int64) {
			piece := `<Relationship Type="a" Target="b"/>`
			return packed(bombPackage(t, repeated{head: bombHead + "</model>"}, &repeated{head: "<Relationships>", piece: piece, n: whole / int64(len(piece))}))
		}},
		{"3MF of components that double", "a.3mf", func() (io.ReaderAt, int64) { return packed(bombPackage(t, repeated{head: doublingTree()}, nil)) }},
		{"3MF of a million files", "a.3mf", func() (io.ReaderAt, int64) { return packed(manyFiles(t, int(whole/512))) }},
		{"STL of empty facets", "a.stl", func() (io.ReaderAt, int64) {
			r := stlOf(whole/60, make([]byte, stlFacet))
			return r, r.size()
		}},
		{"STL text of blank lines", "a.stl", text("solid a\n", "\n\n\n\n")},
		{"STL text without end of line", "a.stl", text("solid a\n", "facet ")},
		{"STL text of empty facets", "a.stl", text("solid a\n", "facet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 0 0 0\nvertex 0 0 0\nendloop\nendfacet\n")},
		{"STL text of solids", "a.stl", text("solid a\n", "solid\nendsolid\n")},
		{"OBJ of vertices", "a.obj", text("", "v 0 0 0\n")},
		{"OBJ of empty facets", "a.obj", text("v 0 0 0\n", "f 1 1 1\n")},
		{"OBJ of one polygon", "a.obj", text("v 0 0 0\nf 1", " 1")},
		{"OBJ of lines that go on", "a.obj", text("v 0 0 0\nf 1 1 1", "\\\n")},
		{"OBJ of long numbers", "a.obj", text("", "v "+strings.Repeat("9", 100_000)+" 0 0\n")},
	} {
		t.Run(c.name, func(t *testing.T) {
			src, size := c.make()
			debug.FreeOSMemory()
			peak := watchHeap()
			start := time.Now()
			_, _, err := Read(context.Background(), src, size, c.file, ReadOptions{})
			took, most := time.Since(start), peak()
			t.Logf("%d bytes, %.1f s, %d MiB: %v", size, took.Seconds(), most>>20, err)
			if err == nil && !testing.Short() {
				t.Error("was taken")
			}
			if took > 10*time.Second {
				t.Errorf("took %v", took)
			}
			if most > 1<<30 {
				t.Errorf("took %d MiB", most>>20)
			}
			if took < 200*time.Millisecond {
				return
			}
			ctx, cancel := context.WithCancel(context.Background())
			var asked time.Time
			time.AfterFunc(took/3, func() { asked = time.Now(); cancel() })
			_, _, err = Read(ctx, src, size, c.file, ReadOptions{})
			if wait := time.Since(asked); errors.Is(err, context.Canceled) && wait > 500*time.Millisecond {
				t.Errorf("was interrupted after %v", wait)
			}
			cancel()
		})
	}
}

// watchHeap measures how much more the heap holds than now, until the function
// that it returns is called.
func watchHeap() func() uint64 {
	held := func() uint64 {
		s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/heap/unused:bytes"}}
		metrics.Read(s)
		return s[0].Value.Uint64() + s[1].Value.Uint64()
	}
	before, most := held(), uint64(0)
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		for {
			if h := held(); h > before {
				most = max(most, h-before)
			}
			select {
			case <-stop:
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	return func() uint64 { close(stop); <-done; return most }
}

package brought

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"conewright/geom/inputerror"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// A mesh, a picture or wide text given for a motion file is told as what it is.
func TestKindsOfBroughtFiles(t *testing.T) {
	var solid bytes.Buffer
	if err := mesh.WriteSTL(&solid, &mesh.Mesh{Vertices: make([]r3.Vec, 3), Facets: make([][3]int32, 90)}); err != nil {
		t.Fatal(err)
	}
	text := "; a start of a file\n; by nobody\nG28\nG1 X100 Y100 Z0.3 F3000\nG1 X120 E1\n"
	wide := []byte("\xff\xfe")
	for _, u := range utf16.Encode([]rune(text)) {
		wide = binary.LittleEndian.AppendUint16(wide, u)
	}
	picture := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x04\x00\x00\x00\x03\x00\x08\x06"), bytes.Repeat([]byte("a\x01\xf3q\x0e\x02zZ\xb1"), 400)...)
	for _, c := range []struct {
		name string
		data []byte
		what string // empty: it is read
	}{
		{"text", []byte(text), ""},
		{"text after a byte order mark", []byte("\xef\xbb\xbf" + text), ""},
		{"text of another code page", []byte("; H\xf6he \xb0\n" + text), ""},
		{"zeros at the end", append([]byte(strings.Repeat(text, 200)), make([]byte, 4000)...), ""},
		{"nothing", nil, "not a file with motion"},
		{"a mesh", solid.Bytes(), "not a file with motion"},
		{"a picture", picture, "not a file with motion"},
		{"wide text", wide, "UTF-16"},
		{"wide text without a mark", wide[2:], "UTF-16"},
	} {
		file := filepath.Join(t.TempDir(), "given")
		if err := os.WriteFile(file, c.data, 0o666); err != nil {
			t.Fatal(err)
		}
		err := CheckKind(file)
		var bad *inputerror.Error
		if c.what == "" && err != nil || c.what != "" && (!errors.As(err, &bad) || !strings.Contains(bad.What.String(), c.what)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.what)
		}
	}
	var bad *inputerror.Error
	if err := CheckKind(t.TempDir()); !errors.As(err, &bad) {
		t.Errorf("a folder: %v", err)
	}
}

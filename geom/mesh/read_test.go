package mesh

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func stlAsText(m *Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "solid part")
	for i := range m.Facets {
		p, q, r := m.Corners(i)
		fmt.Fprintln(&b, "facet normal 0 0 0\nouter loop")
		for _, v := range []r3.Vec{p, q, r} {
			fmt.Fprintf(&b, "vertex %v %v %v\n", float32(v.X), float32(v.Y), float32(v.Z))
		}
		fmt.Fprintln(&b, "endloop\nendfacet")
	}
	fmt.Fprintln(&b, "endsolid part")
	return b.Bytes()
}

func read(data []byte, name string, opt ReadOptions) (*Mesh, error) {
	m, _, err := Read(context.Background(), bytes.NewReader(data), int64(len(data)), name, opt)
	return m, err
}

// model wraps resources and build into a 3MF package.
func model(attrs, inside string) []byte {
	return pack3MF(map[string]string{
		"_rels/.rels": `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
			<Relationship Id="r0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>`,
		"3D/3dmodel.model": `<?xml version="1.0"?><model ` + attrs + ` xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
			xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">` + inside + `</model>`,
	})
}

func pack3MF(files map[string]string) []byte {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range []string{"_rels/.rels", "3D/3dmodel.model", "3D/other.model"} {
		if text, ok := files[name]; ok {
			w, _ := z.Create(name) // a buffer takes everything
			w.Write([]byte(text))
		}
	}
	z.Close()
	return buf.Bytes()
}

// cube3MF is a unit cube as an object of a 3MF model.
func cube3MF(id int, kind string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<object id="%d" type="%s"><mesh><vertices>`, id, kind)
	c := box(0, 0, 0, 1, 1, 1)
	for _, v := range c.Vertices {
		fmt.Fprintf(&b, `<vertex x="%v" y="%v" z="%v"/>`, v.X, v.Y, v.Z)
	}
	b.WriteString(`</vertices><triangles>`)
	for _, f := range c.Facets {
		fmt.Fprintf(&b, `<triangle v1="%d" v2="%d" v3="%d" paint="4F"/>`, f[0], f[1], f[2])
	}
	b.WriteString(`</triangles></mesh></object>`)
	return b.String()
}

const cubeOBJ = `# a cube, its top in one polygon of four
o cube
v 0 0 0
v 1 0 0
v 1 1 0
v 0 1 0
v 0 0 1 1.0
v 1 0 1 0.5 0.5 0.5
v 1 1 1
v	0 1 1
vt 0 0
vn 0 0 1
s off
f 1 4 3 2
f 5/1 6/1 7/1 8/1
f 1//1 2//1 6//1 5//1
f 2/1/1 3/1/1 7/1/1
f 2 7 6
f -6 -5 -1 \
  -2
f 4 1 5 8
`

// good is what can be read: name, bytes, volume, vertices, facets.
var good = []struct {
	name     string
	file     string
	data     []byte
	opt      ReadOptions
	volume   float64
	vertices int
	facets   int
}{
	{"binary STL", "a.stl", stlBytes(box(0, 0, 0, 1, 2, 3), "made up"), ReadOptions{}, 6, 8, 12},
	{"binary STL that begins with solid", "a.STL", stlBytes(box(0, 0, 0, 1, 2, 3), "solid part"), ReadOptions{}, 6, 8, 12},
	{"binary STL in inches", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1), ""), ReadOptions{Unit: 25.4}, 25.4 * 25.4 * 25.4, 8, 12},
	{"binary STL with a few bytes after its facets", "a.stl", append(stlBytes(box(0, 0, 0, 1, 2, 3), ""), "made up"...), ReadOptions{}, 6, 8, 12},
	{"binary STL with the length of two facets after them", "a.stl", append(stlBytes(box(0, 0, 0, 1, 2, 3), ""), make([]byte, 100)...), ReadOptions{}, 6, 8, 12},
	{"text STL with carriage returns alone", "a.stl", bytes.ReplaceAll(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte("\n"), []byte("\r")), ReadOptions{}, 6, 8, 12},
	{"text STL", "a.stl", stlAsText(box(0, 0, 0, 1, 2, 3)), ReadOptions{}, 6, 8, 12},
	{"text STL with carriage returns", "a.stl", bytes.ReplaceAll(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte("\n"), []byte("\r\n")), ReadOptions{}, 6, 8, 12},
	{"text STL with byte order mark, blanks and capitals", "a.stl",
		append([]byte("\xef\xbb\xbf \r\n\n  "), bytes.ToUpper(stlAsText(box(0, 0, 0, 1, 2, 3)))...), ReadOptions{}, 6, 8, 12},
	{"text STL with normals that aren't numbers", "a.stl",
		bytes.ReplaceAll(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte("normal 0 0 0"), []byte("normal -nan(ind) nan 0")), ReadOptions{}, 6, 8, 12},
	{"text STL without a name", "a.stl", bytes.ReplaceAll(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte("solid part"), []byte("solid")), ReadOptions{}, 6, 8, 12},
	{"text STL of two solids", "a.stl", append(stlAsText(box(0, 0, 0, 1, 2, 3)), stlAsText(box(2, 0, 0, 3, 1, 1))...), ReadOptions{}, 7, 16, 24},
	{"text STL with many blank lines", "a.stl",
		bytes.Replace(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte("\n"), bytes.Repeat([]byte("\n"), 100_000), 1), ReadOptions{}, 6, 8, 12},
	{"zero and minus zero are one place", "a.stl", bytes.ReplaceAll(stlAsText(box(0, 0, 0, 1, 2, 3)), []byte(" 0 0\n"), []byte(" -0 0\n")), ReadOptions{}, 6, 8, 12},
	{"OBJ", "a.obj", []byte(cubeOBJ), ReadOptions{}, 1, 8, 12},
	{"OBJ in centimetres", "a.obj", []byte(cubeOBJ), ReadOptions{Unit: 10}, 1000, 8, 12},
	{"OBJ with carriage returns", "a.obj", []byte(strings.ReplaceAll(cubeOBJ, "\n", "\r\n")), ReadOptions{}, 1, 8, 12},
	{"3MF", "a.3mf", model(``, `<resources>`+cube3MF(1, "model")+`</resources><build><item objectid="1"/></build>`), ReadOptions{}, 1, 8, 12},
	{"3MF says its own unit", "a.3mf",
		model(`unit="centimeter"`, `<resources>`+cube3MF(1, "model")+`</resources><build><item objectid="1"/></build>`), ReadOptions{Unit: 25.4}, 1000, 8, 12},
	{"3MF item moved and stretched, and one mirrored", "a.3mf",
		model(`unit="millimeter"`, `<resources>`+cube3MF(1, "model")+`</resources><build>
			<item objectid="1" transform="2 0 0 0 3 0 0 0 1 10 0 0"/><item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/></build>`),
		ReadOptions{}, 7, 16, 24},
	{"3MF components in components", "a.3mf",
		model(``, `<resources>`+cube3MF(1, "model")+
			`<object id="2"><components><component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components></object>
			<object id="3"><components><component objectid="2" transform="0 1 0 -1 0 0 0 0 2 0 0 0"/></components></object></resources>
			<build><item objectid="3" transform="1 0 0 0 1 0 0 0 1 0 0 7"/></build>`), ReadOptions{}, 4, 16, 24},
	{"3MF with prefixes, comments, character data and quotes of both kinds", "a.3mf",
		model(`xmlns:c="`+coreSpace+`" note='a > b'`, `<!-- a -- > b > --><?do this > that?><q:x xmlns:q="other"><item objectid="9"/><![CDATA[</c:model> ]]] > ]]></q:x>`+
			`<c:resources>`+strings.ReplaceAll(cube3MF(1, "model"), `x="1"`, `x = '1'`)+`</c:resources><build><c:item objectid="1"></c:item ></build>`), ReadOptions{}, 1, 8, 12},
	{"3MF leaves out what only supports", "a.3mf",
		model(``, `<resources>`+cube3MF(1, "model")+cube3MF(2, "support")+`</resources><build><item objectid="1"/><item objectid="2"/></build>`), ReadOptions{}, 1, 8, 12},
}

func TestReadTakesWhatIsMeant(t *testing.T) {
	for _, c := range good {
		t.Run(c.name, func(t *testing.T) {
			m, err := read(c.data, c.file, c.opt)
			if err != nil {
				t.Fatal(err)
			}
			if len(m.Vertices) != c.vertices || len(m.Facets) != c.facets {
				t.Errorf("%d vertices and %d facets, want %d and %d", len(m.Vertices), len(m.Facets), c.vertices, c.facets)
			}
			if h := m.Check(); !h.Sound() {
				t.Errorf("not sound: %v", h)
			}
			near(t, "volume", m.Volume(), c.volume, 1e-6*c.volume)
		})
	}
}

func TestReadFollowsObjectsIntoOtherModelFiles(t *testing.T) {
	files := map[string]string{
		"_rels/.rels": `<Relationships><Relationship Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>`,
		"3D/3dmodel.model": `<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">
			<resources><object id="1"><components><component p:path="/3D/Other.model" objectid="9"/></components></object></resources><build><item objectid="1"/></build></model>`,
		"3D/other.model": `<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>` + cube3MF(9, "model") + `</resources></model>`,
	}
	m, err := read(pack3MF(files), "a.3mf", ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", m.Volume(), 1, 1e-9)

	files["3D/other.model"] += `</model></model>` // trips the decoder up
	if _, err := read(pack3MF(files), "a.3mf", ReadOptions{}); err == nil {
		t.Error("XML that isn't well formed was taken")
	}
}

func patched(data []byte, at int, with ...byte) []byte {
	data = bytes.Clone(data)
	copy(data[at:], with)
	return data
}

// bad is what can't be read: the fault and pieces of the line about it.
var bad = []struct {
	name  string
	file  string
	data  []byte
	fault Fault
	says  []string
}{
	{"empty file", "a.stl", nil, FaultEmpty, []string{"a.stl", "empty"}},
	{"unknown ending", "a.docx", []byte("x"), FaultFormat, []string{".stl, .3mf or .obj"}},
	{"plain text", "a.stl", []byte("hello"), FaultFormat, []string{"plain text, not an STL"}},
	{"much plain text", "a.stl", []byte(strings.Repeat("Grüße\r\n", 300)), FaultFormat, []string{"plain text, not an STL"}},
	{"binary STL without facets", "a.stl", stlBytes(&Mesh{}, ""), FaultEmpty, []string{"no facets"}},
	{"binary STL cut off in a facet", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1), "")[:84+50*7+20], FaultTruncated, []string{"facet 8", "promises 12"}},
	{"binary STL cut off after a facet", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1), "")[:84+50*7], FaultCount, []string{"promises 12", "room for 7"}},
	{"binary STL cut off in its header", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1), "")[:70], FaultTruncated, []string{"byte 70", "header"}},
	{"binary STL named solid and cut off", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1), "solid")[:84+50*7+1], FaultTruncated, []string{"facet 8"}},
	{"count that lies upward", "a.stl", patched(stlBytes(box(0, 0, 0, 1, 1, 1), ""), 80, 0xff, 0xff, 0xff, 0xff), FaultCount, []string{"4294967295", "room for 12"}},
	{"count that lies downward", "a.stl", patched(stlBytes(box(0, 0, 0, 1, 1, 1), ""), 80, 4), FaultCount, []string{"promises 4", "room for 12"}},
	{"coordinate that isn't a number", "a.stl", patched(stlBytes(box(0, 0, 0, 1, 1, 1), ""), 84+50*3+12, 0, 0, 0xc0, 0x7f), FaultNumber, []string{"facet 4", "not a finite number"}},
	{"infinite coordinate", "a.stl", patched(stlBytes(box(0, 0, 0, 1, 1, 1), ""), 84+50*11+20, 0, 0, 0x80, 0xff), FaultNumber, []string{"facet 12", "not a finite number"}},
	{"coordinate far away", "a.stl", stlBytes(box(0, 0, 0, 1, 1, 1e9), ""), FaultNumber, []string{"facet", "farther"}},
	{"text STL cut off", "a.stl", stlAsText(box(0, 0, 0, 1, 1, 1))[:500], FaultTruncated, []string{"line", "endsolid"}},
	{"text STL with a word for a number", "a.stl", bytes.Replace(stlAsText(box(0, 0, 0, 1, 1, 1)), []byte("vertex 1 1 1"), []byte("vertex 1 one 1"), 1), FaultFormat, []string{"facet 3 (line 16)"}},
	{"text STL that isn't a number", "a.stl", bytes.Replace(stlAsText(box(0, 0, 0, 1, 1, 1)), []byte("vertex 1 1 1"), []byte("vertex 1 nan 1"), 1), FaultNumber, []string{"facet 3"}},
	{"text STL without facets", "a.stl", []byte("solid nothing\nendsolid nothing\n"), FaultEmpty, []string{"no facets"}},
	{"text STL with a corner too few", "a.stl", []byte("solid\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nendloop\nendfacet\nendsolid\n"), FaultFormat, []string{"facet 1 (line 2)", "vertex"}},
	{"OBJ without facets", "a.obj", []byte("v 0 0 0\n"), FaultEmpty, []string{"no facets"}},
	{"OBJ vertex zero", "a.obj", []byte("v 0 0 0\nf 0 1 1\n"), FaultIndex, []string{"line 2", "vertex 0 of 1"}},
	{"OBJ vertex that isn't there", "a.obj", []byte("v 0 0 0\n\nf 1 1 -2\n"), FaultIndex, []string{"line 3", "vertex -2 of 1"}},
	{"OBJ vertex cut off", "a.obj", []byte("v 0 0\n"), FaultFormat, []string{"line 1", "three"}},
	{"OBJ polygon of two corners", "a.obj", []byte("v 0 0 0\nf 1 1\n"), FaultFormat, []string{"line 2", "three"}},
	{"OBJ that isn't a number", "a.obj", []byte("v 0 NaN 0\n"), FaultNumber, []string{"line 1"}},
	{"OBJ infinite", "a.obj", []byte("v 0 1e999 0\n"), FaultNumber, []string{"line 1"}},
	{"OBJ line without end", "a.obj", bytes.Repeat([]byte("f"), 2<<20), FaultSize, []string{"line 1", "too long"}},
	{"3MF that is no archive", "a.3mf", []byte("PK"), FaultFormat, []string{"3MF"}},
	{"3MF cut off", "a.3mf", model(``, cube3MF(1, "model"))[:300], FaultFormat, []string{"3MF"}},
	{"3MF without build", "a.3mf", model(``, `<resources>`+cube3MF(1, "model")+`</resources>`), FaultEmpty, []string{"no items"}},
	{"3MF item of no object", "a.3mf", model(``, `<resources>`+cube3MF(1, "model")+`</resources><build><item objectid="5"/></build>`), FaultIndex, []string{"object 5"}},
	{"3MF of an unknown unit", "a.3mf", model(`unit="cubit"`, `<resources>`+cube3MF(1, "model")+`</resources><build><item objectid="1"/></build>`), FaultNumber, []string{"unit"}},
	{"3MF that contains itself", "a.3mf", model(``, `<resources><object id="1"><components><component objectid="1"/><component objectid="1"/></components></object></resources><build><item objectid="1"/></build>`), FaultIndex, []string{"contain themselves"}},
	{"3MF vertex that isn't there", "a.3mf", model(``, `<resources>`+strings.Replace(cube3MF(1, "model"), `v1="0"`, `v1="99"`, 1)+`</resources><build><item objectid="1"/></build>`), FaultIndex, []string{"facet 1", "8"}},
	{"3MF that isn't a number", "a.3mf", model(``, `<resources>`+strings.Replace(cube3MF(1, "model"), `x="1"`, `x="nan"`, 1)+`</resources><build><item objectid="1"/></build>`), FaultNumber, []string{"facet", "not a finite number"}},
	{"3MF with tags crossed", "a.3mf", model(``, `<resources><object id="1"></resources></object>`), FaultFormat, []string{"well formed"}},
	{"3MF that defines entities", "a.3mf", model(``, `<!DOCTYPE m [<!ENTITY a "b">]>`), FaultFormat, []string{"well formed"}},
	{"3MF that ends within a tag", "a.3mf", model(``, `<resources a="`), FaultTruncated, []string{"unpacked"}},
	{"3MF with a word for a number", "a.3mf", model(``, `<resources>`+strings.Replace(cube3MF(1, "model"), `x="1"`, `x="one"`, 1)+`</resources><build><item objectid="1"/></build>`), FaultNumber, []string{"'x'"}},
	{"3MF with a broken transform", "a.3mf", model(``, `<resources>`+cube3MF(1, "model")+`</resources><build><item objectid="1" transform="1 2 3"/></build>`), FaultNumber, []string{"transform"}},
}

func TestReadRefusesInOneClearLine(t *testing.T) {
	for _, c := range bad {
		t.Run(c.name, func(t *testing.T) {
			_, err := read(c.data, c.file, ReadOptions{})
			var r *ReadError
			if !errors.As(err, &r) {
				t.Fatalf("got %v, want a ReadError", err)
			}
			if r.Fault != c.fault {
				t.Errorf("fault %q, want %q: %v", r.Fault, c.fault, err)
			}
			for _, s := range append(c.says, "; ") {
				if !strings.Contains(err.Error(), s) {
					t.Errorf("%q doesn't say %q", err, s)
				}
			}
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("more than a line: %q", err)
			}
		})
	}
}

func TestReadKeepsItsLimits(t *testing.T) {
	for _, c := range good {
		if _, err := read(c.data, c.file, ReadOptions{MaxBytes: 60}); err == nil {
			t.Errorf("%s: took more bytes than it may", c.name)
		}
		if _, err := read(c.data, c.file, ReadOptions{MaxFacets: 11}); err == nil {
			t.Errorf("%s: took more facets than it may", c.name)
		}
	}
}

func TestReadDoesNotUnpackBombs(t *testing.T) {
	bomb := model("", strings.Repeat(" ", 1<<20)+`<build/>`)
	_, err := read(bomb, "a.3mf", ReadOptions{MaxBytes: 1 << 19})
	var r *ReadError
	if !errors.As(err, &r) || r.Fault != FaultSize {
		t.Errorf("got %v", err)
	}
	// Twenty levels of two components each would be a million cubes.
	var b strings.Builder
	b.WriteString("<resources>" + cube3MF(1, "model"))
	for i := 2; i < 24; i++ {
		fmt.Fprintf(&b, `<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
	}
	b.WriteString(`</resources><build><item objectid="23"/></build>`)
	if _, err = read(model("", b.String()), "a.3mf", ReadOptions{}); !errors.As(err, &r) || r.Fault != FaultSize {
		t.Errorf("got %v", err)
	}
}

func TestReadFileTellsWhyItCannotOpen(t *testing.T) {
	dir := t.TempDir()
	for path, says := range map[string]string{
		filepath.Join(dir, "none.stl"): "no such file",
		dir:                            "not a regular file",
	} {
		_, _, err := ReadFile(context.Background(), path, ReadOptions{})
		var r *ReadError
		if !errors.As(err, &r) || r.Fault != FaultOpen || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", path, err)
		}
	}
	if _, _, err := ReadFile(context.Background(), filepath.Join(dir, "none.stl"), ReadOptions{}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the cause is lost: %v", err)
	}
}

func FuzzReadSTL(f *testing.F) { fuzzRead(f, ".stl") }
func FuzzReadOBJ(f *testing.F) { fuzzRead(f, ".obj") }
func FuzzRead3MF(f *testing.F) { fuzzRead(f, ".3mf") }

// FuzzReadModel reaches the XML inside a package without having to find a
// valid archive.
func FuzzReadModel(f *testing.F) {
	f.Add(`<resources>` + cube3MF(1, "model") + `</resources><build><item objectid="1" transform="2 0 0 0 3 0 0 0 1 10 0 0"/></build>`)
	f.Add(`<resources><object id="1"><components><component objectid="1"/></components></object></resources><build><item objectid="1"/></build></model></model>`)
	f.Fuzz(func(t *testing.T, inside string) {
		fuzzOne(t, model("", inside), "a.3mf")
	})
}

func fuzzRead(f *testing.F, ending string) {
	for _, c := range good {
		if strings.EqualFold(filepath.Ext(c.file), ending) && len(c.data) < 1<<16 {
			f.Add(c.data)
		}
	}
	for _, c := range bad {
		if filepath.Ext(c.file) == ending && len(c.data) < 1<<16 {
			f.Add(c.data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) { fuzzOne(t, data, "a"+ending) })
}

// fuzzOne reads, and mends and writes what could be read.
func fuzzOne(t *testing.T, data []byte, name string) {
	m, err := read(data, name, ReadOptions{MaxFacets: 20_000})
	if err != nil {
		var r *ReadError
		if !errors.As(err, &r) || strings.ContainsAny(err.Error(), "\r\n") {
			t.Fatalf("%q", err)
		}
		return
	}
	m, _ = m.Mend()
	if err := WriteSTL(&bytes.Buffer{}, m); err != nil {
		t.Fatal(err)
	}
}

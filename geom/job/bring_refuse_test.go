package job

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// plain is a dialect without surprises.
var plain = dialects[0]

// changed returns a copy of a mesh with every vertex moved about the bed's
// centre; a mirror turns the facets.
func changed(m *mesh.Mesh, mirror bool, by func(v r3.Vec) r3.Vec) *mesh.Mesh {
	c := r3.Vec{X: 125, Y: 105}
	out := &mesh.Mesh{Facets: append([][3]int32(nil), m.Facets...)}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(by(r3.Sub(v, c)), c))
	}
	for i, f := range out.Facets {
		if mirror {
			out.Facets[i] = [3]int32{f[0], f[2], f[1]}
		}
	}
	return out
}

// What doesn't fit is refused, with numbers.
func TestRefusesWhatDoesNotFit(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	p := prepare(t, partJob(t, "davit", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[110.5,105]}`))
	g := p.regions[0]
	n := &g.Numbers
	slice := func(m *mesh.Mesh) []byte {
		return plain.slice(m, n.LayerHeight, n.LineWidth, r2.Vec{X: 4, Y: -7}).text
	}
	turned := func(deg float64) *mesh.Mesh {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return changed(g.Warped, false, func(v r3.Vec) r3.Vec { return r3.Vec{X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y, Z: v.Z} })
	}
	scaled := func(xy, z float64) *mesh.Mesh {
		return changed(g.Warped, false, func(v r3.Vec) r3.Vec { return r3.Vec{X: xy * v.X, Y: xy * v.Y, Z: z * v.Z} })
	}
	two := &mesh.Mesh{}
	for k, m := range []*mesh.Mesh{g.Warped, changed(g.Warped, false, func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X + 70, Y: v.Y, Z: v.Z} })} {
		for _, f := range m.Facets {
			base := int32(k * len(g.Warped.Vertices))
			two.Facets = append(two.Facets, [3]int32{f[0] + base, f[1] + base, f[2] + base})
		}
		two.Vertices = append(two.Vertices, m.Vertices...)
	}
	other := prepare(t, partJob(t, "bracket", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,99.5]}`))
	unwarped := p.bring(t, FromCard, map[string][]byte{"z": slice(g.Warped)})
	for _, c := range []struct {
		name string
		text func() []byte
	}{
		{"another part", func() []byte { return slice(other.regions[0].Warped) }},
		{"turned by 2 degrees", func() []byte { return slice(turned(2)) }},
		{"turned by 90 degrees", func() []byte { return slice(turned(90)) }},
		{"mirrored", func() []byte {
			return slice(changed(g.Warped, true, func(v r3.Vec) r3.Vec { return r3.Vec{X: -v.X, Y: v.Y, Z: v.Z} }))
		}},
		{"larger by 2 %", func() []byte { return slice(scaled(1.02, 1.02)) }},
		{"higher by 5 %", func() []byte { return slice(scaled(1, 1.05)) }},
		{"two parts", func() []byte { return slice(two) }},
		{"the unwarped part", func() []byte { return slice(p.model.Mesh) }},
		{"already unwarped", func() []byte { return []byte(strings.Join(unwarped.corrected(t), "\n")) }},
		{"already unwarped, without the head's words", func() []byte {
			var b bytes.Buffer
			for _, l := range unwarped.corrected(t) {
				f := strings.Fields(l)
				for i := 0; i < len(f); i++ {
					if f[0] != "G1" || f[i][0] != 'C' {
						b.WriteString(f[i] + " ")
					}
				}
				b.WriteByte('\n')
			}
			return b.Bytes()
		}},
		{"no motion", func() []byte { return []byte("G28\nM104 S200\n") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := p.bring(t, FromFile, map[string][]byte{"z": c.text()})
			fs := r.result.Log.Findings
			if !r.unfit || len(fs) == 0 || fs[len(fs)-1].Code != "register" || fs[len(fs)-1].Rank != Stop {
				t.Fatalf("accepted, findings %+v, register %v", fs, r.result.Regions[0].Offset)
			}
			text := fs[len(fs)-1].Text
			if _, after, _ := strings.Cut(text, ".motion: "); c.name != "no motion" && !strings.ContainsAny(after, "0123456789") {
				t.Errorf("no numbers in %q", text)
			}
			t.Log(text)
		})
	}
}

// with puts lines after the line of a plain file in which the middle layer
// begins.
func with(t *testing.T, file []byte, lines string) []byte {
	t.Helper()
	at := bytes.Index(file[len(file)/2:], []byte("\nG0 X")) + len(file)/2 + 1
	return append(append(append([]byte(nil), file[:at]...), lines...), file[at:]...)
}

// mushroomJob is a job of a small part, for many runs.
func mushroomJob(t testing.TB, zones string) *Setup {
	s := newJob(t, "swivel-45", zones)
	s.Shell, s.Bead = 0.3, 0.6
	return s
}

func TestWordsInsideAFile(t *testing.T) {
	p := prepare(t, mushroomJob(t, strings.Replace(outward45, "all", "z", 1)))
	n := &p.regions[0].Numbers
	file := plain.slice(p.regions[0].Warped, n.LayerHeight, n.LineWidth, r2.Vec{X: 4, Y: -7})
	for i, c := range []struct {
		lines, rank, code, says string
		passes                  string // a line of the corrected motion; "": none may hold the lines
	}{
		{"T1\n", Stop, "unknown-word", "tool", ""},
		{"G5 X3 Y4\n", Stop, "unknown-word", "G5 X3 Y4", ""},
		{"G28 X\n", Stop, "unknown-word", "home", ""},
		{"G0 X3 A4\n", Stop, "unknown-word", "axis", ""},
		{"M600\n", Warn, "pause", "M600", "M600"},
		{"WIGGLE X=3\n", Note, "foreign", "WIGGLE", ""},
		{"N5 M106 S90*99\n", Warn, "checksum", "99", "M106 S90"},
		{"M900 K0.05\n", Note, "foreign", "M900", ""},
		{"G0 X12065\n", Stop, "travel-limit", "12065", ""},
		{"M206 X5\n", Stop, "unknown-word", "shift", ""},
		{"M851 Z-1\n", Stop, "unknown-word", "shift", ""},
		{"M30\n", Stop, "unknown-word", "end the program", ""},
		{"M104 S215\n", "", "", "", "M104 S215"},
		{"M204 S900\n", Note, "foreign", "M204", ""},
		{"G4 P20\n", "", "", "", "G4 P20"},
	} {
		if testing.Short() && i%3 != 0 {
			continue
		}
		t.Run(strings.TrimSpace(c.lines), func(t *testing.T) {
			text := with(t, file.text, c.lines)
			line := bytes.Count(text[:bytes.Index(text, []byte("\n"+c.lines))], []byte("\n")) + 2
			r := p.bring(t, FromFile, map[string][]byte{"z": text})
			found := false
			for _, f := range r.result.Log.Findings {
				if f.Rank == c.rank && f.Code == c.code && strings.Contains(f.Text, c.says) && strings.Contains(f.Text, fmt.Sprint("line ", line)) {
					found = true
				} else if f.Rank == Stop && !(r.unfit && f.Code == "register") {
					t.Errorf("%s: %s", f.Code, f.Text)
				}
			}
			if !found && c.code != "" {
				t.Errorf("no finding %s about line %d among %+v", c.code, line, r.result.Log.Findings)
			}
			if r.unfit {
				return
			}
			passed := false
			for _, l := range r.corrected(t)[:r.stats.Last] {
				passed = passed || l == c.passes
				if c.passes == "" && l == strings.TrimSpace(c.lines) {
					t.Errorf("%q was passed on", l)
				}
			}
			if c.passes != "" && !passed {
				t.Errorf("%q was not passed on", c.passes)
			}
		})
	}
}

func TestReportsVolumetricE(t *testing.T) {
	p := prepare(t, mushroomJob(t, strings.Replace(outward45, "all", "z", 1)))
	n := &p.regions[0].Numbers
	d := plain
	d.inches = false
	file := d.slice(p.regions[0].Warped, n.LayerHeight, n.LineWidth, r2.Vec{}).text
	area := math.Pi / 4 * 1.75 * 1.75
	var b bytes.Buffer
	for _, l := range bytes.Split(file, []byte("\n")) {
		for i, f := range bytes.Fields(l) {
			if i > 0 {
				b.WriteByte(' ')
			}
			var e float64
			if k, _ := fmt.Sscanf(string(f), "E%g", &e); k == 1 {
				f = []byte(fmt.Sprintf("E%.5f", e*area))
			}
			b.Write(f)
		}
		b.WriteByte('\n')
	}
	r := p.bring(t, FromCard, map[string][]byte{"z": b.Bytes()})
	found := false
	for _, f := range r.result.Log.Findings {
		found = found || f.Code == "volumetric" && f.Rank == Warn
	}
	if !found {
		t.Errorf("no finding about volumetric E: %+v", r.result.Log.Findings)
	}
}

// Two zones of their own files, given in any order, and one of them planned.
func TestBringsSeveralZones(t *testing.T) {
	p := prepare(t, mushroomJob(t, strings.Replace(stemHead, `"level"`, `"cone","angle":45`, 1)))
	files := map[string][]byte{}
	var slices []sliced
	for i, g := range p.regions {
		d := dialects[1]
		if i == 1 {
			d = dialects[5]
			d.start = append([]string{"M104 S150"}, d.start...)
		}
		f := d.slice(g.Warped, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{X: float64(10 * i), Y: 3})
		files[g.Name], slices = f.text, append(slices, f)
	}
	names := []string{p.regions[0].Name, p.regions[1].Name}
	t.Run("swapped", func(t *testing.T) {
		r := p.bring(t, FromCard, map[string][]byte{names[0]: files[names[1]], names[1]: files[names[0]]})
		text := ""
		for _, f := range r.result.Log.Findings {
			text += f.Text + "\n"
		}
		for i, name := range names {
			if want := fmt.Sprintf("fits zone %s, not %s", name, names[1-i]); !r.unfit || !strings.Contains(text, want) {
				t.Errorf("nothing says %q in %s", want, text)
			}
		}
	})
	for _, from := range []string{FromCard, FromFile} {
		t.Run(from, func(t *testing.T) {
			r := p.bring(t, from, files)
			expectZones(t, r, from, slices)
			expectDry(t, r)
		})
	}
	t.Run("one planned", func(t *testing.T) {
		r := p.bring(t, FromFile, map[string][]byte{names[1]: files[names[1]]})
		start, _, _ := r.body(t)
		if len(start) == 0 || start[0] != "M104 S150" {
			t.Errorf("the start is %q, not that of the only file", start)
		}
		expectSafeEnd(t, r)
	})
}

func expectZones(t *testing.T, r *run, from string, files []sliced) {
	t.Helper()
	if r.unfit || !(r.result.Log.Motion.Deviation <= r.setup.Tolerance) {
		t.Fatalf("deviation %g, findings %+v", r.result.Log.Motion.Deviation, r.result.Log.Findings)
	}
	for i, z := range r.result.Log.Zones {
		if d := math.Abs(z.PlanarFilament - files[i].filament); d > 1e-4*files[i].filament {
			t.Errorf("zone %s: filament %.4f of %.4f", z.Name, z.PlanarFilament, files[i].filament)
		}
	}
	start, zones, end := r.body(t)
	for _, l := range zones {
		for _, bad := range []string{"G28", "G29", "M104 S0", "M140 S0", "M84", "G0"} {
			if strings.HasPrefix(l, bad) {
				t.Errorf("%q among the zones", l)
			}
		}
	}
	second := 0
	for i, l := range zones {
		if strings.HasPrefix(l, "; zone ") {
			second = i
		}
	}
	expectInOrder(t, zones[second:], []string{"M104 S200", "M109 S200"})
	for _, l := range zones[second:] {
		if l == "M104 S150" {
			t.Error("the nozzle cools between the zones")
		}
	}
	if from == FromFile {
		expectInOrder(t, start, files[0].start)
		expectInOrder(t, end, []string{"M107", "M104 S0", "M140 S0", "M84"})
		expectSafeEnd(t, r)
	}
	data, _ := os.ReadFile(r.files.Path(planarDir + "/" + r.result.Regions[0].Name + ".gcode"))
	if !bytes.Equal(data, files[0].text) {
		t.Error("the file that was brought isn't kept as it is")
	}
}

// CONTRACT: under inverse-time feed, G94 is written before the end and before
// every passed line, G93 after; each G93 move carries its F.
func TestPassedLinesUnderInverseTime(t *testing.T) {
	s := mushroomJob(t, strings.Replace(outward45, "all", "z", 1)).Clone()
	s.Machine.Card.FeedBasis = "inverse-time"
	p := prepare(t, s)
	n := &p.regions[0].Numbers
	d := dialects[1] // words between its layers
	file := d.slice(p.regions[0].Warped, n.LayerHeight, n.LineWidth, r2.Vec{X: -14, Y: 7})
	for _, from := range []string{FromCard, FromFile} {
		r := p.bring(t, from, map[string][]byte{"z": file.text})
		expectBrought(t, r, r2.Vec{X: -14, Y: 7}, &file)
		start, zones, end := r.body(t)
		if len(end) == 0 || end[0] != "G94" || len(start) == 0 {
			t.Errorf("%s: start %q, end %q", from, start, end)
		}
		passed := 0
		for i, l := range zones[5:] {
			switch i += 5; {
			case strings.HasPrefix(l, "G1 "):
				if !strings.Contains(l, " F") {
					t.Fatalf("%s: no F in %q", from, l)
				}
			case strings.HasPrefix(l, "M"):
				passed++
				if zones[i-1] != "G94" || zones[i+1] != "G93" {
					t.Fatalf("%s: %q stands between %q and %q", from, l, zones[i-1], zones[i+1])
				}
			}
		}
		if passed < len(file.inner) {
			t.Errorf("%s: %d lines were passed on, %d stand between the part's beads", from, passed, len(file.inner))
		}
		if from == FromFile {
			expectFileEnds(t, r, &file, &d)
		}
		expectDry(t, r)
	}
}

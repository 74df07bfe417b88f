package job

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/brought"
	"conewright/geom/motion"
	"conewright/geom/runfolder"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// dialects differ in all that slicers were seen to differ in.
var dialects = []dialect{
	{name: "plain", walls: 2, fill: 0.15,
		start: []string{"M140 S60", "M104 S205", "G21", "G90", "M82", "G28", "M190 S60", "M109 S205", "G92 E0", "G1 Z2 F3000"},
		end:   []string{"M104 S0", "M140 S0", "M107", "G1 X0 Y200 F6000", "M84"}},
	{name: "relative E, priming, skirt, comments, words", relativeE: true, walls: 2, fill: 0.1, skirts: 2, comments: ";", wipe: true, words: true,
		start: []string{"M104 S150", "G90", "M83", "G28", "G29", "M109 S210", "G1 Z2 F240", "G1 X2 Y10 Z0.28 F5000", "G1 X2 Y190 Z0.28 F1500 E15", "G1 X2.4 Y190 Z0.28 F5000", "G1 X2.4 Y10 Z0.28 F1500 E30", "G92 E0", "G1 Z2 F3000"},
		end:   []string{"G1 E-2 F2400", "G91", "G1 Z10 F600", "G90", "G1 X5 Y205 F6000", "M106 S0", "M104 S0", "M140 S0", "M84 X Y E"}},
	{name: "inches, arcs, brim, hops", inches: true, arcs: true, brim: 5, hop: 0.4, walls: 2, fill: 0.2, comments: "(", extraReturn: true,
		start: []string{"G20", "G90", "M82", "M104 S200", "G28 X Y Z", "M109 S200", "G92 E0", "G0 Z0.07874 F100"},
		end:   []string{"G92 E0", "G1 E-0.08 F80", "G28 X0 Y0", "M104 S0", "M84"}},
	{name: "numbered, resets, firmware retraction", numbers: true, resets: true, firmware: true, walls: 3, fill: 0.1, skirts: 1, first: 0.35,
		start: []string{"G21", "G90", "G28", "M82", "M109 S215", "M117 Printing * soon", "G92 E0", "G1 X10 Y3 Z0.3 F3000", "G1 X100 E9 F1000", "G92 E0", "G1 Z2 F3000"},
		end:   []string{"G10", "M104 S0", "G1 Z1.5 F600", "G1 X10 Y200 F3000", "M140 S0", "M84"}},
	{name: "dense, lower case, CRLF, BOM, relative hops", dense: true, relativeE: true, crlf: true, bom: true, cutShort: true, hop: 0.6, relativeHop: true, walls: 2, fill: 0.15,
		start: []string{"G21", "G90", "M83", "G28", "M109 S210", "G1 X5 Y5 Z2 F6000"},
		end:   []string{"G91", "G1 E-3 F1800", "G1 X3 Y3 Z-2 F1200", "G1 Z20", "G90", "M104 S0", "M84"}},
	{name: "modal, wipes, thick first layer", modal: true, wipe: true, walls: 2, fill: 0.1, first: 0.36, brim: 3, skirts: 1,
		start: []string{"G28", "G90", "M82", "M104 S200", "G0 X0 Y0 Z2 F3000", "M109 S200", "G92 E0", "G1 E5 F200", "G92 E0"},
		end:   []string{"M107", "G0 Z30", "G0 X0 Y0", "M104 S0", "M140 S0", "M84"}},
	{name: "renamed frame, priming blob", g92xy: true, walls: 2, fill: 0.2, resets: true, words: true,
		start: []string{"START_EVERYTHING BED=60", "G90", "M82", "G92 E0", "G1 X100 Y2 Z0.5 F4000", "G1 E20 F150", "G4 P300", "G92 E0", "G1 Z2 F3000"},
		end:   []string{"M104 S0", "G1 X30 Y180 F3000", "END_EVERYTHING"}},
	{name: "no fill, priming in a bow, hop", walls: 2, hop: 1, relativeE: true, skirts: 3,
		start: []string{"M190 S60", "M109 S210", "G28", "G90", "M83", "G1 X20 Y5 Z0.3 F3000", "G1 X120 Y5 E8 F900", "G2 X125 Y10 I0 J5 E1 F900", "G1 X125 Y11 F9000", "G0 Z2"},
		end:   []string{"M106 S255", "G28 X", "M104 S0", "M140 S0", "G4 S1", "M107"}},
	{name: "raft, priming beside it", walls: 2, fill: 0.1, raft: 3, relativeE: true,
		start: []string{"G28", "G90", "M83", "M104 S210", "G1 X3 Y20 Z0.25 F3000", "M109 S210", "G1 X3 Y120 E10 F900", "G1 Z2 F900"},
		end:   []string{"G91", "G1 Z5 F900", "G28 X0 Y0", "G90", "M104 S0", "M84"}},
	{name: "absolute end, no resets", walls: 2, fill: 0.15, extraReturn: true, firmware: true, hop: 0.3,
		start: []string{"G28", "M82", "G90", "M109 S200", "G92 E0", "G1 X1 Y1 Z2 F3000"},
		end:   []string{"G1 Z12 F600", "G1 X1 Y1 Z3", "G28 Z", "M104 S0", "G28", "M84"}},
	{name: "spiral on a solid floor", walls: 2, fill: 0.4, spiral: true, relativeE: true, skirts: 1,
		start: []string{"M190 S60", "M109 S210", "G28", "G90", "M83", "G1 X4 Y8 Z0.3 F3000", "G1 X4 Y90 E9 F900", "G1 Z2 F900"},
		end:   []string{"G91", "G1 Z8 F600", "G90", "G28 X0 Y0", "M104 S0", "M140 S0", "M84"}},
}

// prepared is a setup whose zones are divided and warped, once for many files.
type prepared struct {
	s       *Setup
	model   *Model
	regions []*Region
}

func prepare(t testing.TB, s *Setup) *prepared {
	t.Helper()
	m, err := ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := Divide(context.Background(), s, m)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range regions {
		if err := g.Warp(context.Background(), s.Tolerance); err != nil {
			t.Fatal(err)
		}
	}
	return &prepared{s, m, regions}
}

// bring runs the stages from motion to readback with files for the zones.
func (p *prepared) bring(t testing.TB, startFrom string, files map[string][]byte) *run {
	t.Helper()
	s := p.s.Clone()
	s.StartFrom = startFrom
	dir := t.TempDir()
	r := newRun(s, Options{Out: filepath.Join(dir, "out"), Motion: map[string]string{}})
	r.result.Model = p.model
	for name, data := range files {
		r.opt.Motion[name] = filepath.Join(dir, name+".motion")
		if err := os.WriteFile(r.opt.Motion[name], data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	r.logPart(p.model)
	for _, g := range p.regions {
		own := *g
		r.result.Regions = append(r.result.Regions, &own)
		r.logZone(&own)
	}
	var err error
	if r.files, err = runfolder.Open(r.opt.Out, runfolder.System{}); err != nil {
		t.Fatal(err)
	}
	for _, step := range []func(context.Context) error{r.motion, r.correct, r.proveMotion} {
		if r.unfit {
			break
		}
		if err := step(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func (r *run) corrected(t testing.TB) []string {
	t.Helper()
	data, err := os.ReadFile(r.files.Path(CorrectedName))
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimRight(string(data), "\n"), "\n")
}

// partJob is a demo part in a field of its own, with shells thick enough for
// quick tests.
func partJob(t testing.TB, part, machineName, field string) *Setup {
	t.Helper()
	s, err := Parse([]byte(`{"conewright":1,"part":{"file":"../../assets/parts/`+part+`.stl"},"machine":"`+machineName+`","shell":0.3,"bead":0.6,"zones":{"name":"z","field":`+field+`}}`), ".")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var demoFields = []struct{ part, machine, field string }{
	{"bollard", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}`},
	{"bracket", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,99.5]}`},
	{"cleat", "swivel-45-wired", `{"kind":"cone","grow":"outward","angle":45,"axis":[125,105]}`},
	{"davit", "swivel-45", `{"kind":"cone","grow":"outward","angle":45,"axis":[110.5,105]}`},
	{"hopper", "straight", `{"kind":"cone","grow":"inward","angle":20,"axis":[125,105]}`},
	{"gantry", "swivel-45", `{"kind":"ramp","angle":45,"toward":0}`},
}

// Each dialect with each part, anywhere on the bed,
// start and end from the card and from the file.
func TestBringsEveryDialect(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 4))
	for i, c := range demoFields {
		shifts := make([]r2.Vec, len(dialects))
		for k := range shifts {
			shifts[k] = r2.Vec{X: rnd.Float64()*90 - 45, Y: rnd.Float64()*80 - 40}
		}
		t.Run(c.part, func(t *testing.T) {
			t.Parallel()
			var p *prepared
			for k, d := range dialects {
				if testing.Short() && (3*i+k)%24 != 7 && !(d.spiral && c.part == "gantry") {
					continue
				}
				if p == nil {
					p = prepare(t, partJob(t, c.part, c.machine, c.field))
				}
				t.Run(d.name, func(t *testing.T) {
					n := &p.regions[0].Numbers
					file := d.slice(p.regions[0].Warped, n.LayerHeight, n.LineWidth, shifts[k])
					for j, from := range []string{FromCard, FromFile} {
						if j != (i+k)%2 && testing.Short() {
							continue
						}
						r := p.bring(t, from, map[string][]byte{"z": file.text})
						expectBrought(t, r, shifts[k], &file)
						if from == FromCard {
							expectCardEnds(t, r, &file)
						} else {
							expectFileEnds(t, r, &file, &d)
						}
						expectDry(t, r)
					}
				})
			}
		})
	}
}

func expectBrought(t *testing.T, r *run, shift r2.Vec, file *sliced) {
	t.Helper()
	if r.unfit {
		t.Fatalf("refused: %+v (true place %.3f)", r.result.Log.Findings, shift)
	}
	log := r.result.Log
	z := log.Zones[0]
	if d := r3.Sub(r.result.Regions[0].Offset, r3.Vec{X: shift.X, Y: shift.Y, Z: file.lift}); math.Abs(d.X) > 0.02 || math.Abs(d.Y) > 0.02 || math.Abs(d.Z) > 0.02 {
		t.Errorf("the register is off by %.4f", d)
	}
	if !(log.Motion.Deviation <= r.setup.Tolerance) {
		t.Errorf("deviation %g", log.Motion.Deviation)
	}
	if d := math.Abs(z.PlanarFilament - file.filament); d > 1e-4*file.filament {
		t.Errorf("planar filament %.4f of %.4f", z.PlanarFilament, file.filament)
	}
	if d := math.Abs(r.report.Filament - z.ContactFilament); d > 1e-4*z.ContactFilament {
		t.Errorf("filament written %.4f, contact %.4f", r.report.Filament, z.ContactFilament)
	}
	for _, f := range log.Findings {
		if f.Rank == Stop && f.Code != "travel-limit" {
			t.Errorf("%s: %s", f.Code, f.Text)
		}
	}
	expectInOrder(t, r.corrected(t), file.inner)
}

// expectInOrder looks for lines among others, in their order.
func expectInOrder(t *testing.T, lines, want []string) {
	t.Helper()
	for _, w := range want {
		for len(lines) > 0 && lines[0] != w {
			lines = lines[1:]
		}
		if len(lines) == 0 {
			t.Errorf("line %q isn't in its place", w)
			return
		}
	}
}

// body is the lines before the modes, those between start and end, and those
// after the last zone.
func (r *run) body(t *testing.T) (start, zones, end []string) {
	lines := r.corrected(t)
	start = lines[:r.stats.First-1]
	for len(start) > 0 && strings.HasPrefix(start[0], ";") {
		start = start[1:]
	}
	modes := lines[r.stats.First-1 : r.stats.First+4]
	if got := strings.Join(modes[:4], " "); got != "G21 G90 M82 G92 E0" {
		t.Errorf("modes %q", got)
	}
	return start, lines[r.stats.First-1 : r.stats.Last], lines[r.stats.Last:]
}

func expectCardEnds(t *testing.T, r *run, file *sliced) {
	t.Helper()
	start, zones, end := r.body(t)
	if got, want := strings.Join(start, "\n"), r.expand(r.setup.Machine.Card.Start); got != want {
		t.Errorf("start %q, the card's is %q", got, want)
	}
	if got, want := strings.Join(end, "\n"), r.setup.Machine.Card.End; got != want {
		t.Errorf("end %q, the card's is %q", got, want)
	}
	var want []string
	for _, l := range file.start {
		if brought.KeptOfStart([]byte(l)) {
			want = append(want, l)
		}
	}
	expectInOrder(t, zones, want)
	for _, l := range zones {
		if code := strings.ToUpper(l); strings.HasPrefix(code, "G28") || strings.HasPrefix(code, "G29") || strings.HasPrefix(code, "M104 S0") || strings.HasPrefix(code, "M84") {
			t.Errorf("%q among the zones", l)
		}
	}
}

func expectFileEnds(t *testing.T, r *run, file *sliced, d *dialect) {
	t.Helper()
	start, _, end := r.body(t)
	for i, want := range file.start {
		if i >= len(start) || start[i] != want {
			t.Errorf("start is %q, want %q first", start, file.start)
			break
		}
	}
	if extra := len(start) - len(file.start); extra > 8 {
		t.Errorf("%d lines too many in the start: %q", extra, start[len(file.start):])
	}
	raised := 0
	for _, f := range r.result.Log.Findings {
		if f.Code == "ending" {
			raised++
		}
	}
	missing := len(file.end)
	rest := end
	for _, want := range file.end {
		for i, l := range rest {
			if l == want {
				rest, missing = rest[i+1:], missing-1
				break
			}
		}
	}
	if missing > raised {
		t.Errorf("%d lines of the end %q are missing or changed in %q, %d are told of", missing, file.end, end, raised)
	}
	expectSafeEnd(t, r)
}

// expectSafeEnd follows the whole corrected file as a controller does: in its
// end nothing goes below the top of the print, and no metres of filament move.
func expectSafeEnd(t *testing.T, r *run) {
	t.Helper()
	opt := motion.ReadOptions{}
	if s := r.setup.Machine.Card.Swivel; s != nil {
		opt.Swivel = s.Letter[0]
	}
	top, e := 0.0, 0.0
	text := strings.Join(r.corrected(t), "\n")
	_, err := motion.Read(context.Background(), strings.NewReader(text), opt, func(ev *motion.Event) error {
		switch {
		case ev.Line < r.stats.First || ev.Kind != motion.Move:
		case ev.Line <= r.stats.Last:
			if ev.Extrudes() {
				top = math.Max(top, ev.To.Z)
			}
		default:
			e += math.Abs(ev.E)
			if ev.ToKnown&motion.AxisZ != 0 && ev.To.Z < top+1 {
				t.Errorf("line %d of the end goes to z %.3f, the print is %.3f high", ev.Line, ev.To.Z, top)
			}
			if ev.Extrudes() {
				t.Errorf("line %d of the end lays filament", ev.Line)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if e > 25 {
		t.Errorf("the end moves %.1f mm of filament", e)
	}
}

// expectDry looks for what a dry run must not hold.
func expectDry(t *testing.T, r *run) {
	t.Helper()
	if err := r.writeDryRun(); err != nil {
		t.Fatal(err)
	}
	f, err := os.ReadFile(r.files.Path(DryRunName))
	if err != nil {
		return // no room to raise it
	}
	moves := 0
	for _, l := range bytes.Split(f, []byte("\n")) {
		if len(l) == 0 || l[0] == ';' {
			continue
		}
		code := strings.ToUpper(string(l))
		if strings.HasPrefix(code, "M117") || strings.HasPrefix(code, "M118") {
			continue
		}
		if strings.ContainsAny(code, "E") {
			t.Fatalf("dry run holds %q", l)
		}
		for _, bad := range []string{"M104", "M109", "M140", "M190", "M106", "M107", "G10", "G11", "M200"} {
			if strings.HasPrefix(code, bad) {
				t.Fatalf("dry run holds %q", l)
			}
		}
		if strings.HasPrefix(code, "G1 ") {
			moves++
		}
	}
	if moves == 0 {
		t.Error("an empty dry run")
	}
}

// proveMotion is prove without the head, for tests that ask nothing of it.
func (r *run) proveMotion(ctx context.Context) error {
	laid, err := r.readBack(ctx)
	if err == nil {
		r.noteMotion(laid)
	}
	return err
}

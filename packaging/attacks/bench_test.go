package attacks

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/packaging/madeparts"
	"conewright/packaging/program"
	"conewright/packaging/reading"
)

var strict = flag.Bool("strict", false, "what the program doesn't withstand yet is a fault")

// bench is a folder with a small part and a job.
type bench struct {
	t   *testing.T
	dir string
}

func newBench(t *testing.T, mesh madeparts.Mesh) *bench {
	t.Helper()
	if testing.Short() {
		t.Skip("runs the program")
	}
	b := &bench{t, t.TempDir()}
	if err := mesh.WriteSTL(b.path("part.stl")); err != nil {
		t.Fatal(err)
	}
	b.write("job.json", b.job(nil))
	return b
}

func (b *bench) path(name string) string { return filepath.Join(b.dir, filepath.FromSlash(name)) }

func (b *bench) write(name, text string) {
	b.t.Helper()
	if err := os.MkdirAll(filepath.Dir(b.path(name)), 0o755); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(b.path(name), []byte(text), 0o644); err != nil {
		b.t.Fatal(err)
	}
}

func (b *bench) read(name string) string {
	data, err := os.ReadFile(b.path(name))
	if err != nil {
		return ""
	}
	return string(data)
}

// job is a job's text, with some values changed.
func (b *bench) job(change map[string]any) string {
	b.t.Helper()
	job := map[string]any{
		"conewright": 1, "part": map[string]any{"file": "part.stl"}, "machine": "straight",
		"zones": map[string]any{"name": "z", "field": map[string]any{"kind": "level"}},
	}
	for k, v := range change {
		job[k] = v
	}
	data, err := json.Marshal(job)
	if err != nil {
		b.t.Fatal(err)
	}
	return string(data)
}

// card is the straight card as the program filled it in, with some values
// changed.
func (b *bench) card(change map[string]any) map[string]any {
	b.t.Helper()
	if b.read("plain/run.json") == "" {
		b.run("plain")
	}
	var log struct {
		Machine map[string]any `json:"machine"`
	}
	if err := json.Unmarshal([]byte(b.read("plain/run.json")), &log); err != nil {
		b.t.Fatal(err)
	}
	for k, v := range change {
		log.Machine[k] = v
	}
	return log.Machine
}

// run runs the job into a folder of the bench.
func (b *bench) run(out string, more ...string) program.Outcome {
	b.t.Helper()
	return program.Call(b.t, append([]string{"-job", b.path("job.json"), "-out", b.path(out)}, more...)...)
}

// brings runs with a brought motion.
func (b *bench) brings(out, motion string, more ...string) program.Outcome {
	b.t.Helper()
	b.write("brought.gcode", motion)
	return b.run(out, append([]string{"-motion", "z=" + b.path("brought.gcode")}, more...)...)
}

// planar is the planner's own motion for the job.
func (b *bench) planar() string {
	b.t.Helper()
	if o := b.run("plain"); o.Status != 0 {
		b.t.Fatalf("exit %d: %s", o.Status, o.Stderr)
	}
	return b.read("plain/planar/z.gcode")
}

// has reports that a run's log has a finding.
func (b *bench) has(out, code string) bool {
	log, err := reading.ReadLog(b.path(out))
	if err != nil {
		return false
	}
	for _, f := range log.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// list tells every file below a folder with its content.
func (b *bench) list(name string) map[string]string {
	all := map[string]string{}
	err := filepath.WalkDir(b.path(name), func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all[strings.TrimPrefix(path, b.path(name))] = string(data)
		return err
	})
	if err != nil && !os.IsNotExist(err) {
		b.t.Fatal(err)
	}
	return all
}

// lastLine is what the program says in the end.
func lastLine(o program.Outcome) string {
	text := strings.TrimSpace(o.Stderr)
	return text[strings.LastIndexByte(text, '\n')+1:]
}

// refused checks that the program refuses in one plain line.
func refused(t *testing.T, o program.Outcome) {
	t.Helper()
	text := lastLine(o)
	if o.Status != 2 {
		t.Errorf("exit %d, want 2: %.300s", o.Status, text)
		return
	}
	for _, goWord := range []string{"struct {", "goroutine", "map[string]", "*int", "panic", "a array"} {
		if strings.Contains(text, goWord) {
			t.Errorf("the error shows the program's inside: %.300s", text)
		}
	}
}

//go:build linux

package job

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A file of 200 MB takes at most 300 MiB of memory, and
// its throughput is set against that of a plain script that cuts at 1 mm. Both
// are measured in one run:
//
//	go test ./geom/job -run '^$' -bench BringLarge -benchtime 1x -timeout 30m
//
// Two figures stand beside the script's: that of the stage which does what the
// script does (unwarp), and that of the whole run, which also registers the file,
// reads the result back and proves it free of collisions. Times are those of the
// processor, so that what else the machine does counts little, and, by the side,
// those of the clock: the run uses more cores than one, the script can't.
const (
	largeFile  = 200e6 // bytes
	mostMemory = 300   // MiB
	// scriptShare is the part of the file that the script gets: its time is
	// proportional to it.
	scriptShare = 10
)

// largeJob is a part 180 mm wide, of which a fine file of 200 MB can be made.
func largeJob(dir string) (*Setup, error) {
	var profile []r2.Vec
	for _, p := range mushroom {
		profile = append(profile, r2.Scale(9.5, p))
	}
	f, err := os.Create(filepath.Join(dir, "part.stl"))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if err := mesh.WriteSTL(f, form.Turned(profile, 96)); err != nil {
		return nil, err
	}
	return Parse([]byte(`{"conewright":1,"part":{"file":"part.stl"},"machine":"swivel-45","zones":`+outward45+`}`), dir)
}

func BenchmarkBringLarge(b *testing.B) {
	dir := b.TempDir()
	s, err := largeJob(dir)
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(dir, "large.gcode")
	writeLarge(b, s, file)
	script := scriptSpeed(b, dir, file)
	info, err := os.Stat(file)
	if err != nil {
		b.Fatal(err)
	}
	mb := float64(info.Size()) / 1e6
	for b.Loop() {
		out := bringElsewhere(b, dir, file)
		b.ReportMetric(mb, "MB-of-file")
		b.ReportMetric(mb/out.unwarp, "MB/s-unwarp")
		b.ReportMetric(mb/out.whole, "MB/s-whole-run")
		b.ReportMetric(script, "MB/s-script")
		b.ReportMetric(mb/out.unwarp/script, "times-the-script-unwarp")
		b.ReportMetric(mb/out.whole/script, "times-the-script-whole-run")
		b.ReportMetric(mb/out.unwarpClock/script, "times-the-script-unwarp-by-the-clock")
		b.ReportMetric(mb/out.wholeClock/script, "times-the-script-whole-run-by-the-clock")
		b.ReportMetric(out.memory, "MiB-at-most")
		if !(out.memory <= mostMemory) {
			b.Errorf("%.0f MiB of memory, %d are allowed", out.memory, mostMemory)
		}
	}
}

// writeLarge slices the part finely enough for a file of the size.
func writeLarge(b *testing.B, s *Setup, file string) {
	p := prepare(b, s)
	g := p.regions[0]
	d := plain
	d.walls, d.fill, d.cut = 2, 1, 2.3
	out := d.slice(g.Warped, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{X: 3, Y: 4})
	b.Logf("%d bytes", len(out.text))
	if len(out.text) < largeFile {
		b.Errorf("the file has only %d bytes", len(out.text))
	}
	if err := os.WriteFile(file, out.text, 0o666); err != nil {
		b.Fatal(err)
	}
}

// scriptSpeed returns the script's MB/s on stretches from all over the file: at
// the part's tip beads are short, and short ones take it less.
func scriptSpeed(b *testing.B, dir, file string) float64 {
	data, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	const stretches = 20
	var sample []byte
	for k := range stretches {
		from := k * (len(data) / stretches)
		part := data[from : from+len(data)/stretches/scriptShare]
		sample = append(sample, part[bytes.IndexByte(part, '\n')+1:bytes.LastIndexByte(part, '\n')+1]...) // whole lines
	}
	some := filepath.Join(dir, "some.gcode")
	if err := os.WriteFile(some, sample, 0o666); err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command("python3", "benchmarks/cut_at_1mm.py", some, filepath.Join(dir, "script.gcode"), "128", "109", "1")
	if text, err := cmd.CombinedOutput(); err != nil {
		b.Skipf("no python3 to compare with: %v %s", err, text)
	}
	return float64(len(sample)) / 1e6 / (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
}

const childDir, childFile = "CONEWRIGHT_BENCH_DIR", "CONEWRIGHT_BENCH_FILE"

// spent is what bringing the file took: seconds of the processor and of the
// clock, MiB.
type spent struct{ unwarp, whole, unwarpClock, wholeClock, memory float64 }

const spentMark = "spent:"

// bringElsewhere brings the file in a process of its own.
func bringElsewhere(b *testing.B, dir, file string) (out spent) {
	cmd := exec.Command(os.Args[0], "-test.run", "^TestBringsLargeFile$", "-test.v")
	cmd.Env = append(os.Environ(), childDir+"="+dir, childFile+"="+file)
	text, err := cmd.CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, text)
	}
	b.Logf("%s", text)
	_, figures, _ := strings.Cut(string(text), spentMark)
	if _, err := fmt.Sscan(figures, &out.unwarp, &out.whole, &out.unwarpClock, &out.wholeClock, &out.memory); err != nil {
		b.Fatal(err)
	}
	return out
}

// processor returns the seconds of processor time that this process has used.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}

// peak returns the most memory that this process has held, MiB.
func peak(t *testing.T) float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Fatal(err)
	}
	var kB float64
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	if _, err := fmt.Sscan(rest, &kB); err != nil {
		t.Fatal(err)
	}
	return kB / 1024
}

// TestBringsLargeFile is the benchmark's other process: the whole run.
func TestBringsLargeFile(t *testing.T) {
	dir, file := os.Getenv(childDir), os.Getenv(childFile)
	if dir == "" {
		t.Skip("part of a benchmark")
	}
	s, err := largeJob(dir)
	if err != nil {
		t.Fatal(err)
	}
	r := newRun(s, Options{Out: filepath.Join(dir, "out"), Motion: map[string]string{"all": file}})
	var out spent
	for _, step := range []struct {
		name string
		do   func(context.Context) error
	}{{"part", r.readPart}, {"zones", r.divide}, {"warp", r.warp}, {"support", r.support}, {"motion", r.motion}, {"unwarp", r.correct}, {"proof", r.prove}, {"files", r.finish}} {
		r.began = time.Now()
		before := processor()
		if err := step.do(context.Background()); err != nil {
			t.Fatal(err)
		}
		spend := processor() - before
		clock := time.Since(r.began).Seconds()
		if step.name == "unwarp" {
			out.unwarp, out.unwarpClock = spend, clock
		}
		out.whole, out.wholeClock = out.whole+spend, out.wholeClock+clock
		t.Logf("%s: %.1f s of the processor, %.1f s by the clock", step.name, spend, clock)
	}
	if !(r.result.Log.Motion.Deviation <= s.Tolerance) || r.unfit {
		t.Errorf("deviation %g, findings %+v", r.result.Log.Motion.Deviation, r.result.Log.Findings)
	}
	if d := r3.Sub(r.result.Regions[0].Offset, r3.Vec{X: 3, Y: 4}); r3.Norm(d) > 0.03 {
		t.Errorf("the register is off by %.4f", d)
	}
	r.files.Discard()
	t.Logf("%s %.3f %.3f %.3f %.3f %.1f", spentMark, out.unwarp, out.whole, out.unwarpClock, out.wholeClock, peak(t))
}

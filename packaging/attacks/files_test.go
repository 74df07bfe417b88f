//go:build linux

package attacks

import (
	"archive/zip"
	"bufio"
	"errors"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"conewright/packaging/madeparts"
	"conewright/packaging/program"
)

// Numbers that are no numbers, or too many of them, are refused.
func TestOddNumbersAreRefused(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	head := func(profile any) map[string]any {
		h := b.card(nil)["head"].(map[string]any)
		h["profile"] = profile
		return b.card(map[string]any{"head": h})
	}
	plain := b.job(nil)
	for name, job := range map[string]string{
		"a profile knot without radius": b.job(map[string]any{"machine": head([]any{[]float64{0, 0.3}, []float64{6}})}),
		"a seat of one number":          b.job(map[string]any{"part": map[string]any{"file": "part.stl", "seat": []float64{1}}}),
		"a turn of four":                b.job(map[string]any{"part": map[string]any{"file": "part.stl", "turn": []float64{0, 0, 0, 1}}}),
		"a key twice":                   strings.Replace(plain, `"conewright":1`, `"conewright":1,"shell":0.2,"shell":0.3`, 1),
		"a text for a number":           b.job(map[string]any{"shell": "thick"}),
		"a newer version":               b.job(map[string]any{"conewright": 2}),
		"a version that is a list":      b.job(map[string]any{"conewright": []int{1}}),
		"an unknown key":                b.job(map[string]any{"shel": 0.2}),
		"nothing":                       "",
		"deep nesting":                  strings.Repeat(`{"zones":`, 100000),
	} {
		b.write("job.json", job)
		t.Run(name, func(t *testing.T) { refused(t, b.run("out")) })
	}
	for _, name := range []string{"aux", "CON", "nul", "com1", "LPT9", "../up", "a/b", "", "ä"} {
		b.write("job.json", b.job(map[string]any{"zones": map[string]any{"name": name, "field": map[string]any{"kind": "level"}}}))
		t.Run("zone "+name, func(t *testing.T) { refused(t, b.run("out")) })
	}
}

// A job that can't be used leaves the folder as it was; a good one keeps what
// others put there.
func TestOtherFilesStay(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	b.run("out")
	b.write("out/mine.txt", "mine")
	b.write("out/planar/mine.gcode", "G1 X1")
	b.write("out/warped/other.stl", "mine too")
	before := b.list("out")
	b.write("job.json", `{"conewright": 1, "part"`)
	refused(t, b.run("out"))
	after := b.list("out")
	for name, text := range before {
		if after[name] != text {
			t.Errorf("a refused run changed %s", name)
		}
	}
	b.write("job.json", b.job(map[string]any{"zones": map[string]any{"name": "other-zone", "field": map[string]any{"kind": "level"}}}))
	if o := b.run("out"); o.Status != 0 {
		t.Fatalf("exit %d: %s", o.Status, lastLine(o))
	}
	after = b.list("out")
	for _, name := range []string{"/mine.txt", "/planar/mine.gcode", "/warped/other.stl"} {
		if after[name] != before[name] {
			t.Errorf("a good run changed %s", name)
		}
	}
	for _, stale := range []string{"/warped/z.stl", "/planar/z.gcode"} {
		if after[stale] != "" {
			t.Errorf("%s of a zone that is gone stays", stale)
		}
	}
}

// A file of the set that can't be replaced: the old set stays whole.
func TestHalfWrittenSetsNeverStay(t *testing.T) {
	for _, blocked := range []string{"run.html", "run.json", "drawing.svg", "dry-run.gcode", "warped/z.stl", "corrected.gcode"} {
		t.Run(blocked, func(t *testing.T) {
			b := newBench(t, madeparts.Box(10, 10, 2))
			b.run("out")
			if err := os.Remove(b.path("out/" + blocked)); err != nil {
				t.Fatal(err)
			}
			b.write("out/"+blocked+"/in-the-way", "mine")
			before := b.list("out")
			b.write("job.json", b.job(map[string]any{"shell": 0.25}))
			if o := b.run("out"); o.Status == 0 {
				t.Fatal("exit 0 though a file couldn't be replaced")
			}
			for name, text := range b.list("out") {
				if before[name] != text {
					t.Errorf("%s is new in a set that is old", name)
				}
			}
		})
	}
}

// An interrupted run takes away only what is its own.
func TestInterruptKeepsOthersFiles(t *testing.T) {
	b := newBench(t, madeparts.Revolve([2]float64{0, 0}, [2]float64{18, 0}, [2]float64{18, 40}, [2]float64{0, 40}))
	cmd := exec.Command(program.Path(t), "-job", b.path("job.json"), "-out", b.path("new/x"))
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(300 * time.Millisecond)
	b.write("new/of-another", "mine")
	b.write("new/x/of-another", "mine")
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	cmd.Wait() // the status is asked below
	if s := cmd.ProcessState.ExitCode(); s != 130 && s != 0 {
		t.Errorf("exit %d, want 130", s)
	}
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("ending took %v", took)
	}
	if b.read("new/of-another") == "" || b.read("new/x/of-another") == "" {
		t.Error("a file of another is gone")
	}
}

// Two runs into one folder: one is refused, the other's set is whole.
func TestTwoRunsIntoOneFolder(t *testing.T) {
	b := newBench(t, madeparts.Box(30, 30, 20))
	var outcomes [2]program.Outcome
	var wait sync.WaitGroup
	for i := range outcomes {
		wait.Go(func() { outcomes[i] = b.run("out") })
	}
	wait.Wait()
	done := 0
	for _, o := range outcomes {
		if o.Status == 0 {
			done++
		} else if o.Status != 2 {
			t.Errorf("exit %d: %s", o.Status, lastLine(o))
		}
	}
	if done == 0 || b.read("out/corrected.gcode") == "" || b.read("out/run.json") == "" {
		t.Errorf("%d of two runs are done", done)
	}
}

// Killed at any moment, a run leaves the old set or the new one.
func TestKillsLeaveAWholeSet(t *testing.T) {
	b := newBench(t, madeparts.Box(14, 14, 3))
	o := b.run("out")
	old := b.read("out/corrected.gcode")
	b.write("job.json", b.job(map[string]any{"shell": 0.25}))
	b.run("new")
	fresh := b.read("new/corrected.gcode")
	random := rand.New(rand.NewSource(1))
	for range 25 {
		cmd := exec.Command(program.Path(t), "-job", b.path("job.json"), "-out", b.path("out"))
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(random.Float64() * 1.2 * float64(o.Took)))
		cmd.Process.Kill() // it may have ended
		cmd.Wait()
		if now := b.read("out/corrected.gcode"); now != old && now != fresh && now != "" {
			t.Fatal("a killed run left half a motion file")
		}
	}
	if o := b.run("out"); o.Status != 0 {
		t.Errorf("after the kills: exit %d: %s", o.Status, lastLine(o))
	}
	for name := range b.list("out") {
		if strings.Contains(name, "tmp") || strings.Contains(name, "lock") {
			t.Errorf("%s is left behind", name)
		}
	}
}

// Inputs that an output would replace, and inputs that are no files.
func TestInputsThatAreNone(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	for name, part := range map[string]string{"an output": "out/warped/z.stl", "a pipe": "pipe", "a device": "/dev/zero", "a folder": "out"} {
		b.write("out/warped/z.stl", b.read("part.stl"))
		if err := syscall.Mkfifo(b.path("pipe"), 0o644); err != nil && !os.IsExist(err) {
			t.Skip(err)
		}
		b.write("job.json", b.job(map[string]any{"part": map[string]any{"file": part}}))
		t.Run(name, func(t *testing.T) {
			o := b.run("out")
			refused(t, o)
			if o.Took > 10*time.Second {
				t.Errorf("it took %v", o.Took)
			}
		})
	}
}

// Bombs: refused or read within 10 s and 1 GiB.
func TestBombs(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	zipped := func(text string, times int) func(io.Writer) {
		return func(file io.Writer) {
			z := zip.NewWriter(file)
			part := func(name string) io.Writer {
				w, err := z.Create(name)
				if err != nil {
					t.Fatal(err)
				}
				return w
			}
			io.WriteString(part("[Content_Types].xml"), `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`)
			io.WriteString(part("_rels/.rels"), `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`)
			w := part("3D/3dmodel.model")
			io.WriteString(w, `<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources><object id="1"><mesh><vertices>`)
			many(w, text, times)
			z.Close()
		}
	}
	const facets = 9_000_000
	for name, write := range map[string]func(io.Writer){
		"vertices.3mf": zipped(`<vertex x="0" y="0" z="0"/>`, 20_000_000),
		"spaces.3mf":   zipped("                    ", 50_000_000),
		"nested.3mf":   zipped(`<components>`, 10_000_000),
		"empty.stl": func(w io.Writer) {
			w.Write(append(make([]byte, 80), facets&255, facets>>8&255, facets>>16&255, facets>>24))
			many(w, string(make([]byte, 50)), facets)
		},
		"ascii.stl": func(w io.Writer) {
			io.WriteString(w, "solid a\n")
			many(w, "facet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 0 0 0\nvertex 0 0 0\nendloop\nendfacet\n", 1_000_000)
		},
		"long.obj": func(w io.Writer) { many(w, "1", 300_000_000) },
		"faces.obj": func(w io.Writer) {
			io.WriteString(w, "v 0 0 0\nv 1 0 0\nv 0 1 0\nf")
			many(w, " 1 2 3", 5_000_000)
		},
	} {
		file, err := os.Create(b.path(name))
		if err != nil {
			t.Fatal(err)
		}
		buffered := bufio.NewWriter(file)
		write(buffered)
		if err := errors.Join(buffered.Flush(), file.Close()); err != nil {
			t.Fatal(err)
		}
		b.write("job.json", b.job(map[string]any{"part": map[string]any{"file": name}}))
		t.Run(name, func(t *testing.T) {
			began := time.Now()
			cmd := exec.Command(program.Path(t), "-job", b.path("job.json"), "-out", b.path("out"))
			cmd.Run() // refused, or not: it must only be quick and small
			used, _ := cmd.ProcessState.SysUsage().(*syscall.Rusage)
			memory := int64(used.Maxrss) >> 10 // MiB: Linux counts in KiB
			t.Logf("exit %d, %v, %d MiB", cmd.ProcessState.ExitCode(), time.Since(began).Round(time.Millisecond), memory)
			const mostTime, mostMemory = 15 * time.Second, 1100 // 10 s, and what a busy machine adds
			if time.Since(began) > mostTime || memory > mostMemory {
				t.Errorf("took %v and %d MiB", time.Since(began), memory)
			}
		})
		os.Remove(b.path(name))
	}
}

// many writes a text many times, without holding much: the memory of a child
// process is counted from that of its parent on.
func many(w io.Writer, text string, times int) {
	const block = 1000
	long := strings.Repeat(text, block)
	for ; times > 0; times -= block {
		io.WriteString(w, long)
	}
}

// Bytes after an STL's facets are no fault, but a note.
func TestTrailingBytesAreNoted(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	b.write("part.stl", b.read("part.stl")+"trailing")
	if o := b.run("out"); o.Status != 0 || !b.has("out", "mesh") {
		t.Errorf("exit %d, or no note: %s", o.Status, lastLine(o))
	}
}

// A brought travel far away is a travel limit.
func TestFarTravelIsATravelLimit(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	own := strings.Split(b.planar(), "\n")
	half := len(own) / 2
	o := b.brings("out", strings.Join(own[:half], "\n")+"\nG0 X12065\n"+strings.Join(own[half:], "\n"))
	if o.Status == 0 && !b.has("out", "travel-limit") || o.Status == 2 {
		t.Errorf("exit %d, without a travel limit: %s", o.Status, lastLine(o))
	}
}

// Pipes, devices and folders in place of a job, a card or a motion file are refused at
// once: reading them may never end.
func TestOtherInputsThatAreNone(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	if err := syscall.Mkfifo(b.path("pipe"), 0o644); err != nil {
		t.Skip(err)
	}
	for name, path := range map[string]string{"a pipe": b.path("pipe"), "a device": "/dev/zero", "a folder": b.dir} {
		b.write("job.json", b.job(map[string]any{"machine": path}))
		outcomes := map[string]program.Outcome{"card": b.run("out")}
		b.write("job.json", b.job(nil))
		outcomes["motion"] = b.run("out", "-motion", "z="+path)
		outcomes["job"] = program.Call(t, "-job", path, "-out", b.path("out"))
		for what, o := range outcomes {
			t.Run(name+" as "+what, func(t *testing.T) {
				refused(t, o)
				if o.Took > 5*time.Second {
					t.Errorf("it took %v", o.Took)
				}
			})
		}
	}
}

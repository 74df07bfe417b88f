package cards

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"conewright/packaging/reading"
)

// plain writes a motion file as RS-274/NGC has it: without filament, M words,
// homing and comments, which differ between printers.
func plain(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for line := range strings.Lines(string(data)) {
		line, _, _ = strings.Cut(strings.TrimSpace(line), ";")
		if b := reading.ParseBlock(line); len(b.M) > 0 || len(b.G) == 1 && (b.G[0] == 28 || b.G[0] == 4) {
			continue
		}
		var words []string
		for _, w := range strings.Fields(line) {
			if w[0] != 'E' && w[0] != 'M' {
				words = append(words, w)
			}
		}
		// A move of filament alone has nothing left that moves.
		if text := strings.Join(words, " "); text != "" && text != "G92" && !regexp.MustCompile(`^(G[01] ?)?(F[0-9.]+)?$`).MatchString(text) {
			fmt.Fprintln(&out, text)
		}
	}
	out.WriteString("M2\n")
	if err := os.WriteFile(to, []byte(out.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

var canonical = regexp.MustCompile(`(STRAIGHT_FEED|STRAIGHT_TRAVERSE|SET_G92_OFFSET)\(([^)]*)\)`)

// interpreted lists the places to which the interpreter goes: X Y Z A B C,
// offsets added.
func interpreted(t *testing.T, file string) [][6]float64 {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "rs274", "-g", file)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("rs274: %v: %.500s", err, errs.String())
	}
	var all [][6]float64
	var offset [6]float64
	for line := range strings.Lines(out.String()) {
		m := canonical.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		var v [6]float64
		for i, text := range strings.Split(m[2], ",")[:6] {
			f, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err != nil {
				t.Fatal(err)
			}
			v[i] = f
		}
		if m[1] == "SET_G92_OFFSET" {
			offset = v
			continue
		}
		for i := range v {
			v[i] += offset[i]
		}
		all = append(all, v)
	}
	return all
}

// An interpreter of RS-274/NGC from outside (Debian's linuxcnc-uspace, its
// stand-alone interpreter rs274) reads files with inverse time; it goes where the
// reading here goes.
func TestOutsideInterpreterGoesTheSameWay(t *testing.T) {
	if _, err := exec.LookPath("rs274"); err != nil {
		t.Skip("no rs274: packaging/outside/rs274.sh installs it")
	}
	for _, file := range cards(t) {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		t.Run(name, func(t *testing.T) {
			text := card(t, file, "inverse-time")
			kind := "outward"
			if strings.Contains(name, "belt") { // no axis turns its nozzle
				kind = "ramp"
			}
			out, o := run(t, text, fieldFor(t, kind, name, text))
			if o.Status != 0 {
				t.Fatalf("exit %d: %s", o.Status, o.Stderr)
			}
			log, err := reading.ReadLog(out)
			if err != nil {
				t.Fatal(err)
			}
			motion := filepath.Join(out, "corrected.gcode")
			path, err := reading.ReadPath(motion, log.Machine)
			if err != nil || len(path.Faults) > 0 {
				t.Fatal(err, path.Faults)
			}
			ngc := filepath.Join(t.TempDir(), "motion.ngc")
			plain(t, motion, ngc)
			places := interpreted(t, ngc)
			compare(t, log.Machine, path, places)
		})
	}
}

// compare holds the interpreter's places against the moves that were read.
func compare(t *testing.T, m *reading.Machine, path *reading.Path, places [][6]float64) {
	t.Helper()
	var column [2]int
	for i, a := range m.Turnings() {
		column[i] = 3 + strings.Index("ABC", a.Letter)
		if column[i] < 3 {
			t.Skipf("rs274 has no rotary axis %s", a.Letter)
		}
	}
	at := 0
	for _, s := range path.Steps {
		goes := s.Has[0] || s.Has[1] || s.Has[2] || s.Has[3] || s.Has[4]
		if !goes {
			continue
		}
		if at >= len(places) {
			t.Fatalf("the interpreter makes %d moves, the file has more", len(places))
		}
		p := places[at]
		at++
		const digits = 1e-3
		for i := range 3 {
			if s.Known && math.Abs(p[i]-s.To.XYZ[i]) > digits {
				t.Fatalf("line %d: the interpreter goes to %v, the words to %v", s.Line, p, s.To)
			}
		}
		for i := range m.Turnings() {
			if math.Abs(p[column[i]]-s.To.Turn[i]) > digits {
				t.Fatalf("line %d: the interpreter turns to %v, the words to %v", s.Line, p, s.To)
			}
		}
	}
	if at != len(places) || at == 0 {
		t.Errorf("the interpreter makes %d moves, the file %d", len(places), at)
	}
}

package job

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"conewright/geom/brought"
	"conewright/geom/motion"
	"conewright/geom/register"

	"gonum.org/v1/gonum/spatial/r2"
)

// Starts that users write, before a part whose first layer is a disc of radius 5
// about (125, 105): they are kept wholly, and nothing that is laid for the part
// is.
func TestStartsAreKeptWhole(t *testing.T) {
	p := prepare(t, newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`))
	g := p.regions[0]
	home := []string{"G28", "G90", "M82", "M109 S200", "G92 E0"}
	for i, c := range []struct {
		name  string
		start []string
		print dialect
		drawn float64
	}{
		{"no priming", []string{"G1 Z2 F600"}, dialect{}, 0.8},
		{"waits at the bed's corner", []string{"G1 X0 Y0 Z2 F3000", "M104 S200", "M109 S200"}, dialect{skirts: 1}, 0.8},
		{"a line beside the skirt, at its height", []string{"G1 X109 Y60 Z0.2 F3000", "G1 X109 Y150 E9 F900", "G92 E0", "G1 Z2"}, dialect{skirts: 3}, 0.8},
		{"a square in a corner", []string{"G1 X5 Y5 Z0.2 F3000", "G1 X25 Y5 E1 F900", "G1 X25 Y25 E2", "G1 X5 Y25 E3", "G1 X5 Y5 E4", "G92 E0", "G1 Z2"}, dialect{brim: 4}, 0.8},
		{"two lines, a wipe, drawn back", []string{"G1 X5 Y5 Z0.2 F3000", "G1 X95 Y5 E9 F900", "G1 X95 Y5.4", "G1 X5 Y5.4 E18", "G1 X20 Y5.4 E17", "G1 E15 F1200", "G92 E0", "G1 Z2"}, dialect{brim: 1, skirts: 1}, 3.8},
		{"higher than the first layer", []string{"G1 X98 Y5 Z0.65 F3000", "G1 X98 Y200 E9 F900", "G92 E0", "G1 Z2"}, dialect{skirts: 1}, 0.8},
		{"homes again", []string{"G1 X5 Y5 Z0.2 F3000", "G1 X95 Y5 E9 F900", "G28 X", "G92 E0", "G1 Z2"}, dialect{}, 0.8},
		{"a raft follows", []string{"G1 X3 Y5 Z0.25 F3000", "G1 X3 Y95 E9 F900", "G92 E0", "G1 Z2"}, dialect{raft: 2}, 0.8},
		{"a blob", []string{"G1 X3 Y5 Z0.4 F3000", "G1 E20 F100", "G92 E0", "G1 Z2"}, dialect{firmware: true, brim: 2}, 0},
		{"drawn back by the firmware", []string{"G1 X3 Y5 Z0.4 F3000", "G1 E20 F100", "G92 E0", "G10", "G1 Z2"}, dialect{firmware: true}, 0},
	} {
		if testing.Short() && i%3 != 1 {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			d := c.print
			d.walls, d.fill, d.start = 2, 0.2, append(append([]string(nil), home...), c.start...)
			file := d.slice(g.Warped, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{})
			fit, err := register.Find(context.Background(), func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(file.text)), nil },
				g.Warped, register.Options{LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth})
			if err != nil {
				t.Fatal(err)
			}
			o, err := brought.ReadOpening(context.Background(), bytes.NewReader(file.text), target(g), fit, p.readOptions())
			if err != nil {
				t.Fatal(err)
			}
			if got, want := strings.Join(o.Lines, "|"), strings.Join(d.start, "|"); !strings.HasPrefix(got, want) || len(o.Lines) > len(d.start)+2 {
				t.Errorf("start %q, want %q and no more than a retraction", got, want)
			}
			if fit.OffPart-o.Beads != file.off {
				t.Errorf("%d beads off the part and %d in the start, %d were laid for the part", fit.OffPart, o.Beads, file.off)
			}
			if d := o.Drawn - c.drawn; d > 1e-6 || d < -1e-6 {
				t.Errorf("%g mm are drawn back, want %g", o.Drawn, c.drawn)
			}
			if text := strings.Join(o.Text(), "|"); o.Firmware != strings.HasSuffix(text, "|G11") || c.print.firmware != o.Firmware {
				t.Errorf("firmware retraction %v, written %q", o.Firmware, text)
			}
		})
	}
}

func TestAStartWithoutEndIsRefused(t *testing.T) {
	p := prepare(t, newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`))
	g := p.regions[0]
	file := plain.slice(g.Warped, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{})
	fit, err := register.Find(context.Background(), func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(file.text)), nil },
		g.Warped, register.Options{LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth})
	if err != nil {
		t.Fatal(err)
	}
	long := bytes.Repeat([]byte("M400\n"), brought.MaxStartLines+1)
	fit.FirstBead += brought.MaxStartLines + 1
	if _, err := brought.ReadOpening(context.Background(), bytes.NewReader(append(long, file.text...)), target(g), fit, p.readOptions()); err == nil || !strings.Contains(err.Error(), "start_from") {
		t.Errorf("error %v", err)
	}
}

func (p *prepared) readOptions() motion.ReadOptions {
	return (&run{setup: p.s}).readOptions()
}

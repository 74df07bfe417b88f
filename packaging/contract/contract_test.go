package contract

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

var (
	dir    = flag.String("dir", "", "folder of a finished run")
	strict = flag.Bool("strict", false, "asks for what isn't in every log yet")
)

func run(dir string) []error {
	if *strict {
		return CheckStrictly(dir)
	}
	return Check(dir)
}

func TestARunKeepsTheContract(t *testing.T) {
	if *dir == "" {
		t.Skip("no -dir: packaging/test.sh gives it")
	}
	for _, err := range run(*dir) {
		t.Error(err)
	}
}

// A check that can't fail is none: a folder with anything missing or changed is
// found out, by the check that is meant for it.
func TestADamagedRunIsFoundOut(t *testing.T) {
	if *dir == "" {
		t.Skip("no -dir: packaging/test.sh gives it")
	}
	const motion, dry = "corrected.gcode", "dry-run.gcode"
	inMotion := func(by func(*testing.T) func([]string) []string) func(*testing.T, string) {
		return func(t *testing.T, dir string) { change(t, dir, motion, by(t)) }
	}
	bead := func(letter byte, by float64) func(*testing.T, string) {
		return inMotion(func(t *testing.T) func([]string) []string { return inBead(t, letter, by) })
	}
	before := func(line string) func(*testing.T, string) {
		return inMotion(func(t *testing.T) func([]string) []string { return beforeBead(t, line) })
	}
	cut := func(file, pattern string) func(*testing.T, string) {
		return func(t *testing.T, dir string) { change(t, dir, file, without(pattern)) }
	}
	set := func(part, key string, value any) func(*testing.T, string) {
		return func(t *testing.T, dir string) {
			inLog(t, dir, func(log map[string]any) {
				in, list := log[part].([]any)
				if list {
					in[0].(map[string]any)[key] = value
				} else {
					log[part].(map[string]any)[key] = value
				}
			})
		}
	}
	for _, c := range []struct {
		name   string
		damage func(t *testing.T, dir string)
		found  string // what a fault says
	}{
		{"a file is missing", func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, "drawing.svg")); err != nil {
				t.Fatal(err)
			}
		}, `drawing.svg is missing`},
		{"a file is more", func(t *testing.T, dir string) {
			if err := os.WriteFile(filepath.Join(dir, "more.txt"), nil, 0o644); err != nil {
				t.Fatal(err)
			}
		}, `more than the contract`},
		{"a bead lies higher", bead('Z', 0.15), `strays|mm beside`},
		{"a bead lies aside", func(t *testing.T, dir string) { // whichever way it runs
			bead('X', 0.4)(t, dir)
			bead('Y', 0.7)(t, dir)
		}, `beside|strays`},
		{"a bead lies under the bed", bead('Z', -100), `too near to the bed`},
		{"the head leans elsewhere", bead('C', 7), `leans toward`},
		{"filament is added", bead('E', 50), `pushes \d|filament`},
		{"a shift of the frame", before("G92 X0"), `G92 shifts X`},
		{"a shift by half a turn", func(t *testing.T, dir string) {
			change(t, dir, motion, func(all []string) []string {
				aBead(t, all, "C") // a machine without that axis has no such fault
				return beforeBead(t, "G92 C7.25")(all)
			})
		}, `no whole turns`},
		{"a shift amid a bead", before("G92 E0"), `amid a bead`},
		{"relative places", before("G91"), `G91 amid`},
		{"a stored offset", before("M206 X1"), `M206 amid`},
		{"an axis too fast", before("G1 X0 Y0 F90000"), `mm/s of`},
		{"inches", func(t *testing.T, dir string) {
			change(t, dir, motion, func(all []string) []string {
				for i, l := range all {
					if l == "G21" || l == "G21 G90 M82" {
						all[i] = "G20"
					}
				}
				return all
			})
		}, `leaves unit`},
		{"the end is cut off", cut(motion, `^M84$`), `of the end is`},
		{"no cautions", cut(motion, `^; CAUTION`), `head of comments`},
		{"a zone is lost", cut(motion, `^; zone `), `has the zones`},
		{"the dry run heats", func(t *testing.T, dir string) { change(t, dir, dry, beforeX("M104 S200")) }, `heats or blows`},
		{"the dry run pushes", func(t *testing.T, dir string) { change(t, dir, dry, beforeX("G1 X100 E5")) }, `pushes filament`},
		{"the dry run lies lower", func(t *testing.T, dir string) { change(t, dir, dry, beforeX("G92 Z50")) }, `raised`},
		{"the dry run leaves out moves", cut(dry, `^G1 X\d*[02468]\.`), `dry-run.gcode makes`},
		{"a warped mesh has a hole", dropFacet, `open edges`},
		{"the log lacks its zones", func(t *testing.T, dir string) {
			if err := os.WriteFile(filepath.Join(dir, "run.json"), []byte(`{"conewright_run": 1}`), 0o644); err != nil {
				t.Fatal(err)
			}
		}, `lacks`},
		{"moves are miscounted", set("motion", "moves", 7), `moves, run.json says 7`},
		{"the lowest tip is told wrong", set("motion", "lowest_z", 0.01), `lowest tip`},
		{"the winding is told wrong", set("motion", "greatest_winding", 1e6), `winding`},
		{"a deviation over tolerance", set("motion", "greatest_deviation", 0.5), `over tolerance`},
		{"hanging beads without a finding", func(t *testing.T, dir string) {
			set("motion", "longest_hang_mm", 500.0)(t, dir)
			inLog(t, dir, func(log map[string]any) { log["findings"] = []any{} })
		}, `without a finding`},
		{"shells are miscounted", set("zones", "shells", 3), `3 shells`},
		{"a mesh elsewhere", set("zones", "drop", -5.0), `warped back`},
		{"a layer height told wrong", set("zones", "layer_height", 0.1), `layer height`},
		{"an input without its sum", set("inputs", "sha256", ""), `no sum`},
		{"a finding of another rank", func(t *testing.T, dir string) {
			inLog(t, dir, func(log map[string]any) {
				log["findings"] = []any{map[string]any{"rank": "note", "code": "collision", "text": "x"}}
			})
		}, `makes no sense`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			copied := t.TempDir()
			if err := os.CopyFS(copied, os.DirFS(*dir)); err != nil {
				t.Fatal(err)
			}
			c.damage(t, copied)
			match := regexp.MustCompile(c.found)
			faults := run(copied)
			for _, f := range faults {
				if match.MatchString(f.Error()) {
					return
				}
			}
			t.Errorf("nobody says %q, but %v", c.found, faults)
		})
	}
}

// beforeX puts a line before one in the middle that goes along X.
func beforeX(line string) func([]string) []string {
	return func(all []string) []string {
		for i := len(all) / 2; i < len(all); i++ {
			if len(all[i]) > 4 && all[i][:4] == "G1 X" {
				return append(append(append([]string{}, all[:i]...), line), all[i:]...)
			}
		}
		return all
	}
}

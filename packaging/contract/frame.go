package contract

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"strings"

	"conewright/packaging/reading"
)

// lines reads the lines of a text file.
func lines(path string) ([]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var all []string
	in := bufio.NewScanner(f)
	in.Buffer(nil, 1<<20)
	for in.Scan() {
		all = append(all, in.Text())
	}
	return all, in.Err()
}

// printing is an M word that may stand between start and end: filament modes,
// heat, fan, message, pause (common practice, no source).
var printing = map[float64]bool{
	82: true, 83: true, 104: true, 109: true, 140: true, 190: true, 141: true, 191: true, 106: true, 107: true, 117: true, 118: true,
	0: true, 1: true, 25: true, 226: true, 600: true, 601: true, 73: true,
}

// frame checks the head of comments, the start, what stands between start and
// end, and the end.
func (c *check) frame() {
	all, err := lines(filepath.Join(c.dir, "corrected.gcode"))
	if err != nil {
		c.wrong("%v", err)
		return
	}
	first := 0
	for i, l := range all {
		if strings.HasPrefix(l, "; zone ") {
			first = i
			break
		}
	}
	c.head(all[:first])
	c.modes(all[:first])
	end := len(all) - len(c.end())
	for i, want := range c.end() {
		if got := all[end+i]; got != want {
			c.wrong("line %d of the end is %q, the card says %q", end+i+1, got, want)
			break
		}
	}
	for i, l := range all[first:end] {
		b := reading.ParseBlock(l)
		for _, m := range b.M {
			if !printing[m] {
				c.wrong("line %d: M%v amid the print", first+i+1, m)
			}
		}
		for _, g := range b.G {
			if g == 28 || g == 29 || g == 91 || g == 20 || g >= 10 && g < 11 || g >= 53 && g < 60 || g == 18 || g == 19 {
				c.wrong("line %d: G%v amid the print", first+i+1, g)
			}
		}
	}
}

// end lists the lines of the card's end; none where a brought file's counts.
func (c *check) end() []string {
	if c.log.Job.StartFrom == "file" && !c.zones[len(c.zones)-1].PlannedHere() {
		return nil
	}
	m := c.raw["job"].(map[string]any)["material"]
	values, _ := m.(map[string]any)
	text := strings.TrimRight(c.log.Machine.End, "\n")
	for _, name := range []string{"nozzle_temp", "bed_temp"} {
		text = strings.ReplaceAll(text, "{"+name+"}", number(values[name]))
	}
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// head checks the comments at the file's beginning.
func (c *check) head(start []string) {
	var head []string
	for _, l := range start {
		if !strings.HasPrefix(l, ";") {
			break
		}
		head = append(head, l)
	}
	text := strings.Join(head, "\n")
	want := []string{"CAUTION", c.log.Machine.Name}
	for _, in := range c.log.Inputs {
		if strings.HasSuffix(in.File, ".gcode") {
			continue // brought motion: parts and the job are named
		}
		want = append(want, filepath.Base(filepath.FromSlash(in.File)))
	}
	for _, w := range want {
		if !strings.Contains(text, w) {
			c.wrong("the head of comments doesn't tell of %q", w)
		}
	}
	for _, f := range c.log.Findings {
		if f.Rank == "stop" && !strings.Contains(text, f.Code) {
			c.wrong("the head of comments doesn't name the overridden %s", f.Code)
		}
	}
}

// modes checks the modal state at the first zone: millimetres, absolute
// places, absolute filament from zero, the card's feed mode, axes at their zero.
func (c *check) modes(start []string) {
	state := map[string]string{}
	zeroed := false
	for _, l := range start {
		b := reading.ParseBlock(l)
		for _, g := range b.G {
			switch g {
			case 20, 21:
				state["unit"] = number(g)
			case 90, 91:
				state["distance"] = number(g)
			case 93, 94:
				state["feed"] = number(g)
			case 92:
				if e, ok := b.Word('E'); ok && e == 0 {
					zeroed = true
				}
			}
		}
		for _, m := range b.M {
			if m == 82 || m == 83 {
				state["filament"] = number(m)
			}
		}
	}
	feed := "94"
	if c.log.Machine.FeedBasis == "inverse-time" {
		feed = "93"
	}
	for name, want := range map[string]string{"unit": "21", "distance": "90", "filament": "82", "feed": feed} {
		if state[name] != want {
			c.wrong("the start leaves %s at %q, want %s", name, state[name], want)
		}
	}
	if !zeroed {
		c.wrong("the start sets no E0")
	}
	for _, s := range c.path.Steps {
		if s.Zone < 0 {
			continue
		}
		for i, a := range c.log.Machine.Turnings() {
			if math.Abs(s.From.Turn[i]-a.Zero) > 1e-9 {
				c.wrong("axis %s stands at %g before the first zone, not at its zero %g", a.Letter, s.From.Turn[i], a.Zero)
			}
		}
		break
	}
}

package contract

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
)

// block is a line of motion: its words by letter.
type block map[byte]float64

// parse splits a line into words, without its comment (";" to the end of the
// line, or in brackets: NISTIR 6556, 3.3.4).
func parse(line string) block {
	line, _, _ = strings.Cut(line, ";")
	for {
		a := strings.IndexByte(line, '(')
		b := strings.IndexByte(line, ')')
		if a < 0 || b < a {
			break
		}
		line = line[:a] + " " + line[b+1:]
	}
	words := block{}
	for _, w := range strings.Fields(line) {
		if v, err := strconv.ParseFloat(w[1:], 64); err == nil {
			words[w[0]] = v
		}
	}
	return words
}

// span reads the lines of a motion file.
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

// tool is where the machine is.
type tool struct {
	x, y, z, c, e float64
	known         [3]bool
}

// motion checks corrected.gcode: its order, its filament, its lowest point, its
// moves, its swivel, and that every bead lies on a shell.
func (c *check) motion() {
	all, err := lines(filepath.Join(c.dir, "corrected.gcode"))
	if err != nil {
		return // said already
	}
	first := -1
	var order []string
	for i, l := range all {
		if name, ok := strings.CutPrefix(l, "; zone "); ok {
			order = append(order, name)
			if first < 0 {
				first = i
			}
		}
	}
	if len(order) != len(c.log.Zones) {
		c.wrong("corrected.gcode has the zones %q", order)
		return
	}
	for i, z := range c.log.Zones {
		if order[i] != z.Name {
			c.wrong("zone %d is %s, run.json says %s", i, order[i], z.Name)
		}
	}
	if len(all[0]) == 0 || all[0][0] != ';' {
		c.wrong("corrected.gcode has no head of comments")
	}
	begin := 0
	for i, l := range all[:first] {
		if strings.Contains(l, "G92 E0") {
			begin = i + 1
		}
	}
	if begin == 0 {
		c.wrong("the start sets no E0")
	}
	end := len(all) - len(strings.Split(strings.TrimSpace(c.log.Machine.End), "\n"))
	c.follow(all[:end], begin)
}

// follow goes along the motion between the start and the end.
func (c *check) follow(all []string, begin int) {
	letter, decimals := byte('C'), 0.002
	if s := c.log.Machine.Swivel; s != nil {
		letter = s.Letter[0]
	}
	var at tool
	heights := map[int][]float64{}
	for i := range c.log.Zones {
		heights[i] = c.planarHeights(i)
	}
	zone, lowest, filament, moves := -1, math.Inf(1), 0.0, 0
	for i := range all {
		if strings.HasPrefix(all[i], "; zone ") {
			zone++
			continue
		}
		w := parse(all[i])
		if g, ok := w['G']; ok && g == 92 {
			if e, ok := w['E']; ok {
				at.e = e
			}
			continue
		}
		before := at
		moved := at.take(w, letter)
		if i < begin || !moved {
			continue
		}
		moves++
		if zone < 0 {
			continue
		}
		if at.known[2] {
			lowest = math.Min(lowest, at.z)
		}
		filament += at.e - before.e
		if at.e > before.e && before.known == [3]bool{true, true, true} && (at.x != before.x || at.y != before.y || at.z != before.z) {
			c.bead(i+1, zone, before, at, heights[zone], decimals)
		}
	}
	c.totals(lowest, filament, moves)
}

// take applies the words of a line; true where they move something.
func (t *tool) take(w block, letter byte) bool {
	if g, ok := w['G']; ok && g != 0 && g != 1 {
		return false
	}
	if _, ok := w['M']; ok {
		return false
	}
	moved := false
	for l, p := range map[byte]*float64{'X': &t.x, 'Y': &t.y, 'Z': &t.z, letter: &t.c, 'E': &t.e} {
		if v, ok := w[l]; ok {
			*p = v
			moved = true
			if i := strings.IndexByte("XYZ", l); i >= 0 {
				t.known[i] = true
			}
		}
	}
	return moved
}

// tip returns the tip of the nozzle: words = tip - R(azimuth) tip_offset.
func (c *check) tip(t tool) (x, y, z float64) {
	s := c.log.Machine.Swivel
	if s == nil {
		return t.x, t.y, t.z
	}
	sin, cos := math.Sincos((t.c - s.Zero) * s.Sense * math.Pi / 180)
	o := s.TipOffset
	return t.x + cos*o[0] - sin*o[1], t.y + sin*o[0] + cos*o[1], t.z
}

// bead checks that a bead's interior lies on one shell of its zone, or higher
// where the bed rule raised it, and that the head leans down the gradient.
func (c *check) bead(line, zone int, from, to tool, heights []float64, rounding float64) {
	z := &c.log.Zones[zone]
	slack := c.log.Job.Tolerance + rounding
	const pieces = 5
	worst, raised := 0.0, true
	for i := range pieces + 1 {
		k := float64(i) / pieces
		at := tool{x: from.x + k*(to.x-from.x), y: from.y + k*(to.y-from.y), z: from.z + k*(to.z-from.z), c: from.c + k*(to.c-from.c)}
		x, y, h := c.tip(at)
		warped := h + z.Field.At(x, y) - *z.Drop
		n := nearest(heights, warped)
		worst = math.Max(worst, math.Abs(warped-n))
		raised = raised && h < 1.2*(*z.LayerHeight)
	}
	if worst > slack && !raised {
		c.wrong("line %d: a bead strays %.4f mm from the nearest shell", line, worst)
	}
	if s := c.log.Machine.Swivel; s != nil {
		x, y, _ := c.tip(to)
		want, ok := z.Field.gradient(x, y)
		have := (to.c - s.Zero) * s.Sense
		// A word's rounding turns the azimuth near the axis.
		near := math.Hypot(x-z.Field.Axis[0], y-z.Field.Axis[1])
		if off := math.Abs(math.Remainder(have-want, 360)); ok && off > 0.1+0.2/math.Max(near, 1e-3) {
			c.wrong("line %d: the head leans toward %.2f, the shell falls toward %.2f", line, have, want)
		}
	}
}

func nearest(sorted []float64, v float64) float64 {
	i := sort.SearchFloat64s(sorted, v)
	best := math.Inf(1)
	for _, j := range []int{i - 1, i} {
		if j >= 0 && j < len(sorted) && math.Abs(sorted[j]-v) < math.Abs(best-v) {
			best = sorted[j]
		}
	}
	return best
}

// planarHeights lists the heights on which a zone's planar beads lie.
func (c *check) planarHeights(zone int) []float64 {
	z := &c.log.Zones[zone]
	all, err := lines(filepath.Join(c.dir, "planar", z.Name+".gcode"))
	if err != nil {
		return nil // said already
	}
	var at tool
	seen := map[float64]bool{}
	relative := false
	for _, l := range all {
		w := parse(l)
		if m, ok := w['M']; ok {
			relative = m == 83 || relative && m != 82
		}
		if g, ok := w['G']; ok && g == 92 {
			if e, ok := w['E']; ok {
				at.e = e
			}
			continue
		}
		before := at
		at.take(w, 'C')
		pushed := at.e - before.e
		if relative {
			pushed, at.e = w['E'], 0
		}
		if pushed > 0 && (at.x != before.x || at.y != before.y) {
			seen[at.z-z.Register[2]] = true
		}
	}
	var sorted []float64
	for h := range seen {
		sorted = append(sorted, h)
	}
	sort.Float64s(sorted)
	if len(sorted) != *z.Shells {
		c.wrong("zone %s: beads lie on %d planar heights, run.json says %d shells", z.Name, len(sorted), *z.Shells)
	}
	return sorted
}

// totals compares sums with run.json.
func (c *check) totals(lowest, filament float64, moves int) {
	m := c.log.Motion
	contact := 0.0
	for _, z := range c.log.Zones {
		contact += *z.ContactFilament
	}
	if math.Abs(m.Filament-contact) > 1e-4*contact {
		c.wrong("motion.filament_mm is %g, the zones' contact filament %g", m.Filament, contact)
	}
	if contact <= 0 {
		c.wrong("no filament at all")
	}
	// Retractions come back, but for the last one.
	if math.Abs(filament-contact) > 1e-4*contact+2 {
		c.wrong("corrected.gcode pushes %g mm of filament, run.json says %g", filament, contact)
	}
	if m.Deviation > c.log.Job.Tolerance {
		c.wrong("greatest_deviation %g is over tolerance", m.Deviation)
	}
	if m.LowestZ < 0 || lowest < -1e-9 {
		c.wrong("the tip goes to z %g (run.json: %g)", lowest, m.LowestZ)
	}
	if math.Abs(lowest-m.LowestZ) > 1e-3 {
		c.wrong("the lowest tip is at z %g, run.json says %g", lowest, m.LowestZ)
	}
	if moves != m.Moves {
		c.wrong("corrected.gcode has %d moves, run.json says %d", moves, m.Moves)
	}
}

// dryRun checks that the dry run neither heats nor pushes, and stays high.
func (c *check) dryRun() {
	all, err := lines(filepath.Join(c.dir, "dry-run.gcode"))
	if err != nil {
		return // said already, or not written for a reason
	}
	for i, l := range all {
		w := parse(l)
		if m, ok := w['M']; ok && (m == 104 || m == 106 || m == 109 || m == 140 || m == 190) {
			c.wrong("dry-run.gcode, line %d heats or blows: %s", i+1, l)
		}
		if _, ok := w['E']; ok && w['G'] != 92 {
			c.wrong("dry-run.gcode, line %d pushes filament: %s", i+1, l)
		}
	}
}

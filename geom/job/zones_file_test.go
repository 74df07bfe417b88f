package job

import (
	"bufio"
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/machine"
)

// Here corrected.gcode is read by itself, by a parser of a few lines that knows
// nothing of geom/unwarp or geom/readback: what it says must be what CONTRACT
// promises.

// place is where the machine stands after a line.
type place struct{ x, y, z, c, e float64 }

// fileMove is one motion line.
type fileMove struct {
	line     int
	from, to place
	f        float64 // in force
	hasF     bool
	zone     int // -1 before the first
}

func (m *fileMove) plan() float64   { return math.Hypot(m.to.x-m.from.x, m.to.y-m.from.y) }
func (m *fileMove) goes() bool      { return m.plan() > 0 || m.to.z != m.from.z }
func (m *fileMove) bead() bool      { return (m.goes() || m.swivelled()) && m.to.e > m.from.e }
func (m *fileMove) e() float64      { return m.to.e - m.from.e }
func (m *fileMove) swivelled() bool { return m.to.c != m.from.c }

// motionFile is corrected.gcode taken apart.
type motionFile struct {
	lines []string
	zones []string
	at    []int // index into moves where each zone begins
	moves []fileMove
	modes int // index of the line G21
	ends  int // index of the first line of the card's end
}

// readMotion takes a file apart. Tip places are those of the words: see tips.
func readMotion(t testing.TB, path string, card *machine.Card) *motionFile {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	m := &motionFile{modes: -1}
	in := bufio.NewScanner(bytes.NewReader(data))
	for in.Scan() {
		m.lines = append(m.lines, in.Text())
	}
	end := strings.Split(strings.TrimSpace(card.End), "\n")
	m.ends = len(m.lines) - len(end)
	if got := strings.Join(m.lines[m.ends:], "\n"); got != strings.Join(end, "\n") {
		t.Fatalf("the file ends with %q", got)
	}
	var now place
	f, zone := 0.0, -1
	for i, l := range m.lines[:m.ends] {
		switch {
		case strings.HasPrefix(l, "; zone "):
			m.zones = append(m.zones, strings.TrimPrefix(l, "; zone "))
			m.at = append(m.at, len(m.moves))
			zone++
		case l == "G21" && m.modes < 0:
			m.modes = i
		case strings.HasPrefix(l, "G1 ") && m.modes >= 0:
			mv := fileMove{line: i + 1, from: now, to: now, zone: zone}
			for _, w := range strings.Fields(l)[1:] {
				v, err := strconv.ParseFloat(w[1:], 64)
				if err != nil {
					t.Fatalf("line %d: %q", i+1, l)
				}
				switch {
				case w[0] == 'X':
					mv.to.x = v
				case w[0] == 'Y':
					mv.to.y = v
				case w[0] == 'Z':
					mv.to.z = v
				case w[0] == 'E':
					mv.to.e = v
				case w[0] == 'F':
					f, mv.hasF = v, true
				case card.Swivel != nil && w[0] == card.Swivel.Letter[0]:
					mv.to.c = v
				default:
					t.Fatalf("line %d: %q", i+1, l)
				}
			}
			mv.f, now = f, mv.to
			m.moves = append(m.moves, mv)
		}
	}
	return m
}

// tips turns the words' places into the tip's: CONTRACT, X, Y words = tip -
// R(azimuth) tip_offset.
func (m *motionFile) tips(card *machine.Card) {
	s := card.Swivel
	if s == nil {
		return
	}
	tip := func(p *place) {
		sin, cos := math.Sincos(azimuthOf(card, p.c))
		p.x += cos*s.TipOffset[0] - sin*s.TipOffset[1]
		p.y += sin*s.TipOffset[0] + cos*s.TipOffset[1]
	}
	for i := range m.moves {
		tip(&m.moves[i].from)
		tip(&m.moves[i].to)
	}
}

func azimuthOf(card *machine.Card, word float64) float64 {
	if card.Swivel == nil {
		return 0
	}
	return (word - card.Swivel.Zero) / card.Swivel.Sense * math.Pi / 180
}

// checkFrame checks head, start, modes, zones in order and end.
func (m *motionFile) checkFrame(t *testing.T, s *Setup) {
	t.Helper()
	card := s.Machine.Card
	i := 0
	for ; i < len(m.lines) && strings.HasPrefix(m.lines[i], ";"); i++ {
	}
	if i == 0 || !strings.Contains(strings.Join(m.lines[:i], " "), "CAUTION") {
		t.Error("the file doesn't begin with cautions")
	}
	start := strings.NewReplacer("{nozzle_temp}", "210", "{bed_temp}", "60").Replace(card.Start)
	if got := strings.Join(m.lines[i:m.modes], "\n"); got != start {
		t.Errorf("the start is %q", got)
	}
	feed := "G94"
	if card.FeedBasis == machine.FeedInverseTime {
		feed = "G93"
	}
	want := []string{"G21", "G90", "M82", "G92 E0", feed}
	if got := m.lines[m.modes : m.modes+5]; strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("modes %q, want %q", got, want)
	}
	next := m.modes + 5
	if sw := card.Swivel; sw != nil {
		zero := sw.Letter + strconv.FormatFloat(sw.Zero, 'f', -1, 64)
		if w := strings.Fields(m.lines[next]); len(w) < 2 || w[0] != "G1" || w[1] != zero || len(w) > 3 {
			t.Errorf("line %d is %q, want the swivel's zero", next+1, m.lines[next])
		}
		next++
	}
	var names []string
	for _, leaf := range s.Zones.Leaves() {
		names = append(names, leaf.Name)
	}
	if m.lines[next] != "; zone "+names[0] || strings.Join(m.zones, " ") != strings.Join(names, " ") {
		t.Errorf("zones %q, want %q", m.zones, names)
	}
	for k, l := range m.lines[next:m.ends] {
		if w, _, _ := strings.Cut(l, " "); w == "G28" || w == "G92" || w == "M83" || w == "G91" || w == "M82" || w == "G20" || w == "M84" {
			t.Errorf("line %d between start and end: %q", next+k+1, l)
		}
	}
}

// carried is what beads that round to nothing may leave to the next word, mm of
// filament.
const carried = 3e-4

// checkFilament checks that E is one absolute count without jumps, that what is
// drawn back is returned before the next bead, and the sum of the beads.
func (m *motionFile) checkFilament(t *testing.T, log *Log) {
	t.Helper()
	drawn, laid, sums := 0.0, 0.0, make([]float64, len(m.zones))
	for i := range m.moves {
		mv := &m.moves[i]
		if mv.bead() {
			if math.Abs(drawn) > carried {
				t.Fatalf("line %d: a bead begins with %.5f mm drawn back", mv.line, drawn)
			}
			drawn = 0 // so that a digit lost here and there doesn't add up
			laid += mv.e()
			sums[mv.zone] += mv.e()
			continue
		}
		if drawn -= mv.e(); drawn < -carried || drawn > 10 {
			t.Fatalf("line %d: %.5f mm drawn back", mv.line, drawn)
		}
	}
	for i, z := range log.Zones {
		if math.Abs(sums[i]-z.ContactFilament) > 1e-4*z.ContactFilament+1e-5 {
			t.Errorf("zone %s: %.3f mm in the file, %.3f in the log", z.Name, sums[i], z.ContactFilament)
		}
	}
	if math.Abs(laid-log.Motion.Filament) > 1e-4*laid {
		t.Errorf("%.3f mm in the file, %.3f in the log", laid, log.Motion.Filament)
	}
}

// checkLifts checks that the tip goes to each zone above everything that is
// printed, up and down along the nozzle's axis.
func (m *motionFile) checkLifts(t *testing.T, card *machine.Card) {
	t.Helper()
	top := 0.0
	for k := range m.zones {
		highest := 0.0
		for i := m.at[k]; !m.moves[i].bead(); i++ {
			mv := &m.moves[i]
			highest = math.Max(highest, mv.to.z)
			if k > 0 && mv.plan() > 0 && math.Max(mv.from.z, mv.to.z) < top+1 {
				t.Errorf("zone %s, line %d: crosses at z %.3f, %.3f is printed", m.zones[k], mv.line, mv.to.z, top)
			}
			level := mv.from.z == mv.to.z && mv.from.z > top+1
			if k > 0 && mv.plan() > 0 && !level && alongNozzle(card, mv) > 0.003 {
				t.Errorf("zone %s, line %d: not along the nozzle's axis", m.zones[k], mv.line)
			}
		}
		if k > 0 && highest < top+1 {
			t.Errorf("zone %s is approached at z %.3f, %.3f is printed", m.zones[k], highest, top)
		}
		last := len(m.moves)
		if k+1 < len(m.zones) {
			last = m.at[k+1]
		}
		for i := m.at[k]; i < last; i++ {
			if mv := &m.moves[i]; mv.bead() {
				top = math.Max(top, math.Max(mv.from.z, mv.to.z))
			}
		}
	}
}

// alongNozzle returns how far a move strays from the nozzle's axis, mm.
func alongNozzle(card *machine.Card, mv *fileMove) float64 {
	tilt := 0.0
	if card.Swivel != nil {
		tilt = card.Head.Tilt * math.Pi / 180
	}
	sin, cos := math.Sincos(azimuthOf(card, mv.to.c))
	k := (mv.to.z - mv.from.z) * math.Tan(tilt)
	return math.Hypot(mv.to.x-mv.from.x-k*cos, mv.to.y-mv.from.y-k*sin)
}

// checkSwivel checks that the word at the end of every bead is the azimuth of
// the gradient there, or held where there is none.
func (m *motionFile) checkSwivel(t *testing.T, s *Setup) {
	t.Helper()
	card := s.Machine.Card
	if card.Swivel == nil {
		return
	}
	leaves := s.Zones.Leaves()
	for i := range m.moves {
		mv := &m.moves[i]
		if !mv.bead() {
			continue
		}
		x, y := middle(s, leaves[mv.zone].Field, mv.to)
		azimuth, slack, ok := gradient(leaves[mv.zone].Field, x, y)
		if !ok {
			if mv.swivelled() {
				t.Fatalf("line %d: the head turns by %g where nothing asks for it", mv.line, mv.to.c-mv.from.c)
			}
			continue
		}
		off := math.Abs(math.Remainder(azimuth-azimuthOf(card, mv.to.c), 2*math.Pi)) * 180 / math.Pi
		if off > slack {
			t.Fatalf("line %d: the head stands %.4f degrees off the gradient, %.4f are open", mv.line, off, slack)
		}
	}
}

// middle returns where, in plan, the middle of the bead lies that a tip lays: the
// nozzle stands square to the shell's fall, by CONTRACT's placement.
func middle(s *Setup, f *Field, tip place) (x, y float64) {
	card := s.Machine.Card
	if card.Swivel == nil {
		return tip.x, tip.y
	}
	lean, rise := math.Sincos(card.Head.Tilt * math.Pi / 180)
	sin, cos := math.Sincos(azimuthOf(card, tip.c))
	h := s.Numbers(f).LayerHeight
	x, y = tip.x, tip.y
	for range 40 { // the slope is that at the middle
		slope := math.Tan(f.Angle * math.Pi / 180)
		if f.Kind == KindLevel {
			slope = 0
		} else if f.Kind == KindCone && f.Round > 0 {
			r := math.Hypot(x-f.Axis[0], y-f.Axis[1])
			slope *= r / math.Hypot(r, f.Round)
		}
		k := h / 2 * lean / (lean*slope + rise)
		x, y = (x+tip.x-k*cos)/2, (y+tip.y-k*sin)/2
	}
	return x, y
}

// gradient returns the azimuth of grad f at (x, y), by CONTRACT's formulas, and
// what words of 0.001 mm and 0.001 degrees leave open, degrees.
func gradient(f *Field, x, y float64) (azimuth, slack float64, ok bool) {
	switch f.Kind {
	case KindRamp:
		return f.Toward * math.Pi / 180, 0.001, true
	case KindCone:
		dx, dy := x-f.Axis[0], y-f.Axis[1]
		r := math.Hypot(dx, dy)
		if r < 0.06 { // words of 0.001 mm don't tell it: any will do
			return 0, 180, true
		}
		if f.Grow == GrowInward {
			dx, dy = -dx, -dy
		}
		// Two places are rounded, the planar one and the tip: each is off by 0.0007 mm at most.
		return math.Atan2(dy, dx), 0.001 + 0.0015/r*180/math.Pi, true
	}
	return 0, 0, false
}

// checkTravels checks that no travel passes below what is printed under it.
// Heights are kept on a fine raster.
func (m *motionFile) checkTravels(t *testing.T) {
	t.Helper()
	const cell = 0.1
	// Within a cell a shell of 45 degrees rises by 0.15 mm; half a layer more
	// would be a scratch.
	const slack = 0.2
	printed := map[[2]int32]float32{}
	walk := func(mv *fileMove, visit func(key [2]int32, z float64)) {
		n := int(math.Ceil(mv.plan()/(cell/2))) + 1
		for i := 0; i <= n; i++ {
			k := float64(i) / float64(n)
			visit([2]int32{int32(math.Floor((mv.from.x + k*(mv.to.x-mv.from.x)) / cell)), int32(math.Floor((mv.from.y + k*(mv.to.y-mv.from.y)) / cell))},
				mv.from.z+k*(mv.to.z-mv.from.z))
		}
	}
	first := true
	for i := range m.moves {
		mv := &m.moves[i]
		switch {
		case mv.bead():
			first = false
			walk(mv, func(key [2]int32, z float64) { printed[key] = max(printed[key], float32(z)) })
		case !first && mv.goes():
			walk(mv, func(key [2]int32, z float64) {
				if h := float64(printed[key]); z < h-slack {
					t.Fatalf("line %d: a travel at z %.3f, %.3f is printed under it", mv.line, z, h)
				}
			})
		}
	}
}

// demoJob loads a demo job.
func demoJob(t testing.TB, name string) *Setup {
	t.Helper()
	s, err := Load(filepath.Join("..", "..", "assets", "jobs", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

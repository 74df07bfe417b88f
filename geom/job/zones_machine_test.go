package job

import (
	"bufio"
	"context"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/machine"
)

// ownCard returns a copy of a built-in card to change.
func ownCard(t testing.TB, name string) *machine.Card {
	t.Helper()
	c, ok := machine.Builtin(name)
	if !ok {
		t.Fatalf("no card %s", name)
	}
	card := *c
	if c.Swivel != nil {
		swivel := *c.Swivel
		card.Swivel = &swivel
	}
	return &card
}

// motionOnly runs a job up to the proof of its motion, without clearance, and
// returns the run and the corrected file's path.
func motionOnly(t testing.TB, s *Setup) (*run, string) {
	t.Helper()
	r, path, err := tryMotion(t, s)
	if err != nil {
		t.Fatal(err)
	}
	return r, path
}

func tryMotion(t testing.TB, s *Setup) (*run, string, error) {
	t.Helper()
	r := newRun(s, Options{Out: t.TempDir()})
	for _, step := range []func(context.Context) error{r.readPart, r.divide, r.warp, r.motion, r.correct, r.proveMotion} {
		if err := step(context.Background()); err != nil {
			return nil, "", err
		}
	}
	return r, r.files.Path(CorrectedName), nil
}

// CONTRACT: X, Y words = tip - R(azimuth) tip_offset, for a swivel of any
// letter, sense and zero: the ends of the planar beads are all among the tips
// that the words stand for, in their order, and the head stands as it should.
func TestTipOffTheSwivelAxisIsCompensated(t *testing.T) {
	s := newJob(t, "swivel-45", stemHead)
	card := ownCard(t, "swivel-45")
	card.Swivel.Letter, card.Swivel.Sense, card.Swivel.Zero, card.Swivel.TipOffset = "B", -1, 30, [3]float64{2.5, -1.25, 0}
	s.Machine = Machine{Card: card}
	r, path := motionOnly(t, s)
	m := readMotion(t, path, card)
	m.tips(card)
	m.checkSwivel(t, s)
	m.checkTravels(t)
	i := 0
	for k, name := range m.zones {
		want := planarEnds(t, r.files.Path("planar/"+name+".gcode"))
		if len(want) < 1000 {
			t.Fatalf("zone %s: only %d planar beads", name, len(want))
		}
		for _, p := range want {
			for ; ; i++ {
				if i == len(m.moves) || m.moves[i].zone > k {
					t.Fatalf("zone %s: no bead ends at %v", name, p)
				}
				if x, y := middle(s, s.Zones.Leaves()[k].Field, m.moves[i].to); math.Hypot(x-p[0], y-p[1]) < 0.0015 {
					break
				}
			}
		}
	}
}

// planarEnds returns where the beads of a planar file end.
func planarEnds(t testing.TB, path string) (ends [][2]float64) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var x, y, e float64
	in := bufio.NewScanner(f)
	for in.Scan() {
		if !strings.HasPrefix(in.Text(), "G1 ") {
			continue
		}
		x0, y0, e0 := x, y, e
		for _, w := range strings.Fields(in.Text())[1:] {
			v, _ := strconv.ParseFloat(w[1:], 64)
			switch w[0] {
			case 'X':
				x = v
			case 'Y':
				y = v
			case 'E':
				e = v
			}
		}
		if e > e0 && (x != x0 || y != y0) {
			ends = append(ends, [2]float64{x, y})
		}
	}
	return ends
}

// A move takes the same time whatever
// the card's feed basis (NISTIR 6556, 2.1.2.5 on rotary axes under G94 and
// 3.5.19 on G93).
// leastMinutes is the shortest time that an F word under G93 says.
const leastMinutes = 1e-6

func TestFeedBasesTakeTheSameTimeOnARealJob(t *testing.T) {
	var files []*motionFile
	bases := []string{machine.FeedTip, machine.FeedAllAxes, machine.FeedInverseTime}
	for _, basis := range bases {
		s := newJob(t, "swivel-45", stemHead)
		card := ownCard(t, "swivel-45")
		card.FeedBasis = basis
		s.Machine = Machine{Card: card}
		_, path := motionOnly(t, s)
		files = append(files, readMotion(t, path, card))
	}
	compared, worst := 0, 0.0
	for i := range files[0].moves {
		var times [3]float64
		for k, f := range files {
			mv := &f.moves[i]
			if mv.from != files[0].moves[i].from || mv.to != files[0].moves[i].to {
				t.Fatalf("move %d of basis %s isn't the same", i, bases[k])
			}
			times[k] = minutes(t, mv, bases[k])
		}
		if i < files[0].at[0]+2 { // from an unknown place
			continue
		}
		if times[0] < leastMinutes { // an F word under G93 stays below a million
			continue
		}
		compared++
		for k := 1; k < 3; k++ {
			worst = math.Max(worst, math.Abs(times[k]/times[0]-1))
			if !(math.Abs(times[k]/times[0]-1) <= 0.005) {
				t.Fatalf("line %d takes %g min by basis %s, %g by the tip", files[k].moves[i].line, times[k], bases[k], times[0])
			}
		}
	}
	t.Logf("%d moves, worst %.4f %%", compared, 100*worst)
	if compared < 10000 {
		t.Errorf("only %d moves compared", compared)
	}
}

// minutes returns how long a move takes by its feed word.
func minutes(t testing.TB, mv *fileMove, basis string) float64 {
	t.Helper()
	if basis == machine.FeedInverseTime {
		if !mv.hasF {
			t.Fatalf("line %d: no F under G93", mv.line)
		}
		return 1 / mv.f
	}
	xyz := math.Sqrt(mv.plan()*mv.plan() + (mv.to.z-mv.from.z)*(mv.to.z-mv.from.z))
	turn := math.Abs(mv.to.c - mv.from.c)
	switch {
	case basis == machine.FeedAllAxes && xyz+turn > 0:
		return math.Hypot(xyz, turn) / mv.f
	case xyz > 0:
		return xyz / mv.f
	case turn > 0:
		return turn / mv.f
	}
	return math.Abs(mv.e()) / mv.f
}

// On a wired head nothing turns out of
// its range, no filament is lost, and unwinding is rare since rings alternate.
func TestWiredHeadUnwindsRarelyOnRealJobs(t *testing.T) {
	for _, name := range []string{"bollard", "penstock", "hopper", "beacon-two-axes", "standpipe-out-and-in"} {
		if (testing.Short() || raced) && name != "bollard" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			s := demoJob(t, name)
			s.Machine = Machine{Card: ownCard(t, "swivel-45-wired")}
			r, path := motionOnly(t, s)
			m := readMotion(t, path, s.Machine.Card)
			m.checkFilament(t, r.result.Log)
			turned := 0.0
			for i := range m.moves {
				mv := &m.moves[i]
				if math.Abs(mv.to.c) > 360.0005 {
					t.Fatalf("line %d: the swivel stands at %g", mv.line, mv.to.c)
				}
				if mv.bead() {
					turned += math.Abs(mv.to.c - mv.from.c)
				}
			}
			_, whole := motionOnly(t, demoJob(t, name))
			free := readMotion(t, whole, s.Machine.Card)
			if a, b := m.laid(), free.laid(); math.Abs(a-b) > 1e-4*b {
				t.Errorf("%.3f mm of filament, %.3f with an endless swivel", a, b)
			}
			turns := int(turned / 360)
			// Without regard to winding nearly every ring would want it.
			t.Logf("%d turns on beads, %d unwound on travels, %d beads broken", turns, r.stats.Unwound, r.stats.Broken)
			if n := r.stats.Unwound + r.stats.Broken; n > turns/6+5 {
				t.Errorf("%d unwindings in %d turns", n, turns)
			}
		})
	}
}

// laid returns the filament of all beads, mm.
func (m *motionFile) laid() (sum float64) {
	for i := range m.moves {
		if m.moves[i].bead() {
			sum += m.moves[i].e()
		}
	}
	return sum
}

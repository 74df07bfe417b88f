package deposition

import (
	"fmt"
	"math"
	"path/filepath"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	sampleStep = 0.2  // mm along a bead, by the contract
	longRun    = 5.0  // mm: shorter hanging runs are bridged
	deepBead   = 0.06 // mm: a third of a shell
	deepTravel = 0.05 // mm
	squareish  = 15.5 // degrees off square up to which beads must not be dug: 15, and rounding
)

// Place is where something was found.
type Place struct {
	Line   int
	At     r3.Vec
	Length float64 // of a run, or the depth of a dig
}

func (p Place) String() string {
	return fmt.Sprintf("%.2f mm at line %d (%.1f, %.1f, %.1f)", p.Length, p.Line, p.At.X, p.At.Y, p.At.Z)
}

// Result is what the beads of a run do. Lengths in mm.
type Result struct {
	BeadLength   float64 // of the part's beads
	Hanging      float64 // in runs over 5 mm with nothing under them
	LongestHang  Place
	Air          float64 // in runs over 5 mm with nothing under or beside them
	LongestAir   Place
	SquareLength float64 // of beads laid within 15 degrees of square
	DugLength    float64 // of those, dug over 0.06 mm
	DeepestBead  Place
	TravelDug    float64 // of travels, over 0.05 mm deep
	DeepestMove  Place
	OffSquare    float64 // greatest, degrees
	PartVolume   float64 // mm3, by filament
	Support      float64 // mm3, by filament
	Lowest       float64 // lowest middle of a bead less half a shell, upright
}

// GreatestDig is the deepest of beads and travels.
func (r *Result) GreatestDig() float64 {
	return math.Max(r.DeepestBead.Length, r.DeepestMove.Length)
}

// DugShare is the share of bead length that is dug where the nozzle is near
// square.
func (r *Result) DugShare() float64 {
	if r.SquareLength == 0 {
		return 0
	}
	return r.DugLength / r.SquareLength
}

func (r *Result) String() string {
	return fmt.Sprintf("beads %.0f mm; hanging %.0f mm, longest %.1f; in the air %.0f mm, longest %.1f; dug %.2f %% of %.0f mm, deepest %.3f; travels dug %.0f mm, deepest %.3f; off square %.1f; lowest %.3f",
		r.BeadLength, r.Hanging, r.LongestHang.Length, r.Air, r.LongestAir.Length, 100*r.DugShare(), r.SquareLength, r.DeepestBead.Length,
		r.TravelDug, r.DeepestMove.Length, r.OffSquare, r.Lowest)
}

// deposit is the work on one run.
type deposit struct {
	log   *reading.Log
	zones []*reading.Zone // in the order of the file's zone lines
	cuts  [][]reading.Cut
	kin   *reading.Kinematics
	rim   float64
	laid  *marks
	path  float64 // length of the tip's way so far
	wait  float64 // way until the next sample
	runs  [2]run  // hanging, in the air
	res   Result
}

// run is an unbroken stretch of samples.
type run struct {
	length float64
	first  Place
}

// Run is a finished run's beads, laid.
type Run struct {
	Result
	d *deposit
}

// Lay lays the beads of the run in a folder.
func Lay(dir string) (*Run, error) {
	log, err := reading.ReadLog(dir)
	if err != nil {
		return nil, err
	}
	path, err := reading.ReadPath(filepath.Join(dir, "corrected.gcode"), log.Machine)
	if err != nil {
		return nil, err
	}
	if len(path.Faults) > 0 {
		return nil, fmt.Errorf("corrected.gcode: %s", path.Faults[0])
	}
	kin, err := log.Machine.Kinematics()
	if err != nil {
		return nil, err
	}
	d := &deposit{log: log, kin: kin, rim: log.Machine.Rim()}
	for _, name := range path.Zones {
		for i := range log.Zones {
			if log.Zones[i].Name == name {
				d.zones = append(d.zones, &log.Zones[i])
			}
		}
		d.cuts = append(d.cuts, log.Job.Cuts(name))
	}
	if len(d.zones) != len(path.Zones) {
		return nil, fmt.Errorf("the file's zones are %q, the log has others", path.Zones)
	}
	d.room(path)
	d.res.Lowest = math.Inf(1)
	for i := range path.Steps {
		d.step(&path.Steps[i])
	}
	d.endRuns()
	return &Run{d.res, d}, nil
}

// room makes the cells for all beads.
func (d *deposit) room(path *reading.Path) {
	low, high := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for i := range path.Steps {
		if s := &path.Steps[i]; s.Extrudes() && s.Zone >= 0 {
			for _, w := range []reading.Words{s.From, s.To} {
				p := d.kin.Pose(w).Tip
				low = r3.Vec{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y), Z: math.Min(low.Z, p.Z)}
				high = r3.Vec{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y), Z: math.Max(high.Z, p.Z)}
			}
		}
	}
	if low.X > high.X {
		low, high = r3.Vec{}, r3.Vec{}
	}
	const margin = 1.0
	by := r3.Vec{X: margin, Y: margin, Z: margin}
	d.laid = newMarks(r3.Sub(low, by), r3.Add(high, by), 0.4)
}

// step takes one move: beads are asked what holds them, held against the rim and
// laid; travels are held against the rim.
func (d *deposit) step(s *reading.Step) {
	if !s.Known || s.Zone < 0 {
		return
	}
	extrudes := s.Extrudes()
	a, m, b := d.kin.Pose(s.From), d.kin.Pose(s.From.Between(s.To, 0.5)), d.kin.Pose(s.To)
	length := r3.Norm(r3.Sub(m.Tip, a.Tip)) + r3.Norm(r3.Sub(b.Tip, m.Tip))
	const still = 0.01 // mm: a turn in place, or a rounding
	if !extrudes && (length > still || s.To.E < s.From.E) {
		d.endRuns()
	}
	if extrudes {
		d.volume(s)
	}
	if length == 0 {
		return
	}
	for ; d.wait < length; d.wait += sampleStep {
		w := s.From.Between(s.To, d.wait/length)
		if extrudes {
			along := r3.Unit(r3.Sub(b.Tip, a.Tip))
			d.bead(s, d.kin.Pose(w), along, d.path+d.wait, length)
		} else {
			d.travel(s, d.kin.Pose(w), d.path+d.wait)
		}
	}
	d.wait -= length
	d.path += length
}

func (d *deposit) volume(s *reading.Step) {
	v := (s.To.E - s.From.E) * math.Pi * d.log.Machine.Filament * d.log.Machine.Filament / 4
	if s.Support {
		d.res.Support += v
	} else {
		d.res.PartVolume += v
	}
}

// bead judges one sample of a bead and lays it.
func (d *deposit) bead(s *reading.Step, p reading.Pose, along r3.Vec, path, length float64) {
	zone := d.zones[s.Zone]
	middle, normal := reading.Middle(p, zone)
	k := mark{middle: middle, normal: normal, path: path, zone: int32(s.Zone)}
	k.side = r3.Unit(r3.Cross(normal, along))
	if math.IsNaN(k.side.X) {
		k.side = r3.Unit(r3.Cross(normal, r3.Vec{X: 1}))
	}
	t := d.thickness(normal, s.Zone)
	area := (s.To.E - s.From.E) * math.Pi * d.log.Machine.Filament * d.log.Machine.Filament / 4 / length
	k.width = math.Min(2*d.log.Job.Bead, (area-math.Pi*t*t/4)/t+t) // a stadium's, of that area and thickness
	if !s.Support {
		d.res.BeadLength += sampleStep
		d.hangs(s, k)
		d.res.Lowest = math.Min(d.res.Lowest, middle.Z-*zone.LayerHeight/2)
	}
	off := math.Acos(math.Max(-1, math.Min(1, r3.Dot(p.Back, normal)))) * 180 / math.Pi
	d.res.OffSquare = math.Max(d.res.OffSquare, off)
	depth := d.dig(p, path)
	if off <= squareish {
		d.res.SquareLength += sampleStep
		if depth > deepBead {
			d.res.DugLength += sampleStep
		}
	}
	if depth > d.res.DeepestBead.Length {
		d.res.DeepestBead = Place{s.Line, p.Tip, depth}
	}
	d.laid.add(k)
}

// hangs goes on with, or ends, the runs that have nothing under them.
func (d *deposit) hangs(s *reading.Step, k mark) {
	by := d.holds(k, s.Zone)
	for i, loose := range []bool{by != under, by == inAir} {
		r := &d.runs[i]
		if !loose {
			d.endRun(i)
			continue
		}
		if r.length == 0 {
			r.first = Place{Line: s.Line, At: k.middle}
		}
		r.length += sampleStep
	}
}

func (d *deposit) endRuns() {
	d.endRun(0)
	d.endRun(1)
}

func (d *deposit) endRun(i int) {
	r := &d.runs[i]
	sum, longest := &d.res.Hanging, &d.res.LongestHang
	if i == 1 {
		sum, longest = &d.res.Air, &d.res.LongestAir
	}
	if r.length > longRun {
		*sum += r.length
	}
	if r.length > longest.Length {
		*longest = Place{r.first.Line, r.first.At, r.length}
	}
	*r = run{}
}

func (d *deposit) travel(s *reading.Step, p reading.Pose, path float64) {
	depth := d.dig(p, path)
	if depth > deepTravel {
		d.res.TravelDug += sampleStep
	}
	if depth > d.res.DeepestMove.Length {
		d.res.DeepestMove = Place{s.Line, p.Tip, depth}
	}
}

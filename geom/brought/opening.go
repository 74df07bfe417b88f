package brought

import (
	"context"
	"errors"
	"io"
	"math"

	"conewright/geom/motion"
	"conewright/geom/register"

	"gonum.org/v1/gonum/spatial/r2"
)

// Where does a file's start end? No comment says so that could be relied on, so
// the motion itself must.
//
// A start is a text that its user wrote once for the machine: it heats, homes,
// probes, primes, and knows nothing of the part. What a slicer made of the part
// follows: skirts, brims and rafts, then the part. Between both lies the way to
// the first of these beads. So the start ends
//
//   - before the first chain of beads that is about the part: one that winds
//     round a place of the part's first section (a skirt, a brim), that crosses
//     the section's box (a raft, a brim inside a hole, a disc at a corner), or,
//     if it lies lower than the part's first layer, the box of the whole part (a
//     raft). A priming line is none of these: it runs along the bed's edge, where
//     no part can be, or else the file would print the part onto it. One that
//     lies higher than the part's first layer is never about the part either.
//   - and there, before the last move in x or y that leads to it. What stands
//     before that move stays: a lift at the end of the start's text and one that
//     the slicer makes before it travels look alike, and one lift too many is
//     harmless, nothing being printed yet.
//
// Chains are followed over gaps of a seam. A raft's first lines may lie beside
// the box; those next to a line of the raft belong to it.
const (
	// seamGap joins beads of a loop that is broken at its seam, mm.
	seamGap = 2.0
	// windsRound is how much of a turn a loop must make round a place, radians:
	// more than any line beside it can, less than a loop with an open seam.
	windsRound = 1.5 * math.Pi
	// boxMargin is what a section's box is widened by, mm.
	boxMargin = 1.0
	// raftMargin is how far from each other chains of a raft may lie, mm.
	raftMargin = 6.0
	// MaxStartLines and maxStartBytes bound a start; real ones have some tens of
	// lines, with a mesh of the bed some hundreds.
	MaxStartLines = 20000
	maxStartBytes = 1 << 20
	// roundPlaces is how many places of the section are tried.
	roundPlaces = 48
)

// Opening is the start of a brought file, as start_from: file keeps it.
type Opening struct {
	Lines    []string     // word for word, without comments, line numbers, checksums
	end      int          // the first line of the file that isn't part of it
	Beads    int          // priming lines among it
	Drawn    float64      // filament that it leaves drawn back by E, mm
	Firmware bool         // it leaves filament drawn back by G10
	modes    motion.Modes // that it leaves
}

// chain is a run of beads without a gap, at one height.
type chain struct {
	lead      int // the line of the move that leads to it
	z         float64
	end       r2.Vec
	box       Box
	turned    []float64 // round each place of the footing
	crosses   bool
	e, length float64
}

// opener reads a file up to where its start ends.
type opener struct {
	foot   footing
	fit    *register.Result
	lines  []openingLine
	bytes  int
	text   []byte
	chains []chain
	way    int // line of the last travel since the last bead or homing; 0: none
	state  openingLine
	end    int // found: 0 not yet
}

// openingLine is a line of the start and how things stand before it.
type openingLine struct {
	line     int
	text     string
	beads    int
	drawn    float64
	firmware bool
	modes    motion.Modes
}

// startEnds ends the reading; nobody is told of it.
type startEnds struct{}

func (startEnds) Error() string { return "the start ends" }

// ReadOpening reads the start of a brought file.
func ReadOpening(ctx context.Context, src io.Reader, g *Target, fit *register.Result, opt motion.ReadOptions) (*Opening, error) {
	o := opener{foot: newFooting(g, fit), fit: fit}
	var failed error
	opt.Look = func(l *motion.Look) {
		if failed == nil {
			failed = o.look(l)
		}
	}
	_, err := motion.Read(ctx, src, opt, func(ev *motion.Event) error {
		if failed != nil {
			return failed
		}
		return o.event(ev)
	})
	if err != nil && !errors.Is(err, startEnds{}) {
		return nil, err
	}
	return o.opening(), nil
}

func (o *opener) look(l *motion.Look) error {
	o.text = l.Words(o.text[:0])
	if len(o.text) == 0 {
		return nil
	}
	o.bytes += len(o.text)
	if len(o.lines) >= MaxStartLines || o.bytes > maxStartBytes {
		return wrong("start_from", "use start_from: card", "no bead about the part within the brought file's first %d lines: no start that could be kept", len(o.lines))
	}
	o.state.line, o.state.text, o.state.modes = l.Line, string(o.text), l.Modes()
	o.lines = append(o.lines, o.state)
	return nil
}

func (o *opener) event(ev *motion.Event) error {
	switch ev.Kind {
	case motion.Home, motion.Problem:
		o.way = 0
	case motion.Word:
		if ev.Code == motion.CodeForeign {
			o.way = 0
		}
	case motion.Retract, motion.Unretract:
		o.state.firmware = ev.Kind == motion.Retract
	case motion.Move:
		return o.move(ev)
	}
	return nil
}

func (o *opener) move(ev *motion.Event) error {
	o.state.drawn = math.Max(0, o.state.drawn-ev.E)
	across := ev.From.X != ev.To.X || ev.From.Y != ev.To.Y
	if !ev.Extrudes() {
		if across {
			o.way = ev.Line
		}
		return nil
	}
	if ev.Line >= o.fit.FirstBead {
		o.begin(ev)
		o.found(len(o.chains) - 1)
		return startEnds{}
	}
	c := o.chain(ev)
	p, q := r2.Vec{X: ev.From.X, Y: ev.From.Y}, r2.Vec{X: ev.To.X, Y: ev.To.Y}
	o.follow(c, p, q)
	c.e, c.length = c.e+ev.E, c.length+r2.Norm(r2.Sub(q, p))
	o.state.beads++
	o.way = 0
	if o.about(c) {
		o.found(len(o.chains) - 1)
		return startEnds{}
	}
	return nil
}

// chain returns the chain that a bead goes on with, or a new one.
func (o *opener) chain(ev *motion.Event) *chain {
	if n := len(o.chains); n > 0 {
		c := &o.chains[n-1]
		if c.z == ev.To.Z && math.Hypot(ev.From.X-c.end.X, ev.From.Y-c.end.Y) <= seamGap {
			return c
		}
		c.turned = nil
	}
	return o.begin(ev)
}

func (o *opener) begin(ev *motion.Event) *chain {
	c := chain{lead: ev.Line, z: ev.To.Z, end: r2.Vec{X: ev.From.X, Y: ev.From.Y}, box: EmptyBox()}
	if o.way > 0 {
		c.lead = o.way
	}
	c.turned = make([]float64, len(o.foot.places))
	c.box.Add(c.end)
	o.chains = append(o.chains, c)
	return &o.chains[len(o.chains)-1]
}

// follow takes a bead (and the gap before it) into its chain.
func (o *opener) follow(c *chain, p, q r2.Vec) {
	for i, at := range o.foot.places {
		for _, s := range [2][2]r2.Vec{{c.end, p}, {p, q}} {
			a, b := r2.Sub(s[0], at), r2.Sub(s[1], at)
			c.turned[i] += math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
		}
	}
	c.end = q
	c.box.Add(q)
	within := &o.foot.first
	if o.raft(c) {
		within = &o.foot.whole
	}
	c.crosses = c.crosses || within.meets(p, q, boxMargin)
}

// raft reports a chain that lies under the part's first layer.
func (o *opener) raft(c *chain) bool { return c.z < o.foot.bottom+0.3*o.foot.layer }

func (o *opener) about(c *chain) bool {
	if c.z > o.foot.bottom+2*o.foot.layer {
		return false
	}
	for _, turned := range c.turned {
		if math.Abs(turned) > windsRound {
			return true
		}
	}
	return c.crosses
}

// found ends the start before chain k, or before the chains of its raft.
func (o *opener) found(k int) {
	for k > 0 && o.raft(&o.chains[k]) {
		a, b := &o.chains[k-1], &o.chains[k]
		if a.z != b.z || !a.box.near(&b.box, raftMargin) {
			break
		}
		k--
	}
	o.end = o.chains[k].lead
}

func (o *opener) opening() *Opening {
	r := &Opening{end: o.end}
	for i := range o.lines {
		l := &o.lines[i]
		if o.end > 0 && l.line >= o.end {
			r.Beads, r.Drawn, r.Firmware, r.modes = l.beads, l.drawn, l.firmware, l.modes
			break
		}
		r.Lines = append(r.Lines, l.text)
	}
	return r
}

// Text returns the start's lines, and what its modes need before ours can follow.
// Its shifts of the frame are still in it (see sequence.Settle).
func (o *Opening) Text() []string {
	lines := append([]string(nil), o.Lines...)
	if o.modes.VolumetricDiameter > 0 {
		lines = append(lines, "M200 D0")
	}
	if o.Firmware {
		lines = append(lines, "G11")
	}
	return lines
}

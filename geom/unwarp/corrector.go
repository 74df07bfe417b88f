package unwarp

import (
	"fmt"
	"io"
	"math"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Options are what a correction needs beside its zones.
type Options struct {
	Card      *machine.Card
	Tolerance float64 // greatest distance of a corrected move from the exact path
	// TravelSpeed is for moves that have no feed of their own, mm/s.
	TravelSpeed float64
	// Drawn is how much filament the start leaves drawn back, mm.
	Drawn float64
	// Area is all in plan that is printed, mm; of matter along an axis without end.
	Area r2.Box
}

// Mark is where something happened first, and how often it did.
type Mark struct {
	Count int
	Line  int // of the corrected file
	At    r3.Vec
}

func (m *Mark) add(line int, at r3.Vec) {
	if m.Count == 0 {
		m.Line, m.At = line, at
	}
	m.Count++
}

// ZoneStats is what a zone came to.
type ZoneStats struct {
	PlanarFilament  float64 // of the beads that belong to the part, mm
	ContactFilament float64 // the same after the bed rule
	SupportFilament float64 // of the beads of support, after the bed rule
	OffPart         int     // beads left out
	Shells          int     // distinct heights with beads
	Replanned       int     // travels that were lifted over the part
	Ruled           Mark    // beads that the bed rule raised or thinned
	OffSquare       float64 // greatest angle off square on a bead, radians
	OffSquareAt     r3.Vec

	offSquareSeen bool
}

// Stats is what a correction came to.
type Stats struct {
	Zones       []ZoneStats
	SourceMoves int
	Lines       int  // of the file
	First, Last int  // lines from after the start to before the end
	Axis        Mark // moves slowed for an axis
	Flow        Mark // moves slowed for the flow
	Swivel      Mark // moves slowed for the swivel
	OutOfTravel Mark
	OutOfRange  Mark // beads that turn further than the swivel can
	Unwound     int  // turns unwound on travels
	Broken      int  // beads broken: on the axis, or for the swivel's range
}

// azimuthTolerance is how far the head may stand from the azimuth that a bead
// needs while the controller interpolates (DESIGN 3).
const azimuthTolerance = 5 * math.Pi / 180

// turnedRounding is how far the rounding of words of axes that turn may bring a bead
// off its shell, in units of their last digit.
const turnedRounding = 0.5 + 0.5*math.Sqrt2*2.5

// azimuthMargin keeps the rounding of words inside azimuthTolerance.
const azimuthMargin = 0.99

// cutShare is the share of the tolerance that cutting uses; the rest is for the
// ends of a piece being written a thousandth off, which makes it a trace longer.
const cutShare = 0.99

// Corrector writes the corrected motion of zones, one after the other. The
// order of calls is Begin, then for each zone Zone and its Events, then End; or
// Close, where it is given up before.
type Corrector struct {
	opt  Options
	card *machine.Card
	out  *scribe
	err  error
	row  line // being made

	cut     float64         // tolerance left for cutting once words are rounded
	unit    float64         // of the last digit of X, Y and Z
	swivel  *machine.Swivel // what turns the head about z as the part sees it; nil: nothing
	apart   bool            // the words of X and Y aren't the tip's place
	skew    bool            // nor is the word of Z its height, whatever Shift says
	tipOff  float64         // how far the tip stands from the swivel axis, mm
	bed     *r2.Vec         // where the axis stands about which the bed turns; nil: it doesn't
	turning turning         // the words of the turning axes
	slant   slant           // linear axes that slant; zero: they don't
	shift   r3.Vec          // of the tip from its words, where no axis changes it
	now     machine.Words
	known   bool // whether the machine's place is known
	eSum    float64
	eWord   float64
	depth   float64 // filament drawn back, mm
	line    int
	top     float64  // highest bead so far
	highest float64  // c of the highest shell of this zone so far
	ground  *terrain // what stands on the bed
	before  *terrain // the same as the zone began
	peaks   []peak   // of before
	head    *underside

	zone   *Zone
	nozzle nozzle
	rule   Rule
	level  float64 // rule's height over a level base
	stats  Stats
	spans  []span
	gap    []motion.Event // since the last bead
	bead   []motion.Event // held back while its winding is looked at
	stale  bool           // the source moved in a way that isn't followed
	fresh  bool           // no bead of the zone yet
	laying bool           // the last move laid a bead
	marked bool           // the beads are support's: motion.SupportLine was written last
	onAxis bool           // the last piece ended on the axis, where the head holds still
	place  r3.Vec         // where the source stands, planar
	depth0 float64        // filament that the source has drawn back
	travel float64        // the source's last travel feed, mm/min
	shell  float64        // planar height of the last bead
	shells map[int64]bool
}

// New returns a corrector that writes to w.
func New(w io.Writer, opt Options) *Corrector {
	c := &Corrector{
		opt: opt, card: opt.Card,
		out:     newScribe(w, opt.Card),
		travel:  opt.TravelSpeed * 60,
		depth:   opt.Drawn,
		ground:  newTerrain(ends(opt.Card.PartTravel(), opt.Area)),
		unit:    math.Pow(10, -float64(opt.Card.Decimals.XYZ)),
		turning: newTurning(opt.Card), shift: opt.Card.Shift(),
		swivel: opt.Card.AsSwivel(), apart: !opt.Card.WordsArePlaces(), tipOff: opt.Card.TipOff(),
		skew: opt.Card.Leans() || opt.Card.Slants(),
		cut:  opt.Tolerance * cutShare,
	}
	if at, ok := opt.Card.TurningBed(); ok {
		c.bed = &at
	}
	for _, i := range opt.Card.ObstaclesInPart() {
		c.ground.block(&opt.Card.Obstacles[i])
	}
	c.blockRings()
	if c.turning.tilts { // all words are rounded, and then the height is made up for
		c.cut = math.Max(opt.Tolerance-5*c.unit, opt.Tolerance/4)
	} else if c.apart { // places aren't written as they are: see piece
		c.cut = math.Max(opt.Tolerance-c.unit*turnedRounding, opt.Tolerance/4)
	}
	if opt.Card.Slants() {
		c.slant = newSlant(opt.Card, c.unit)
	}
	return c
}

// Begin writes the head of comments, the start and the modes.
func (c *Corrector) Begin(comments []string, start string) error {
	for _, text := range comments {
		c.text("; " + strings.Map(printable, text))
	}
	c.lines(start)
	c.stats.First = c.line + 1
	for _, word := range []string{"G21", "G90", "M82", "G92 E0"} {
		c.text(word)
	}
	if c.card.FeedBasis == machine.FeedInverseTime {
		c.text("G93")
	} else {
		c.text("G94")
	}
	if c.swivel != nil {
		c.swivelHome()
	}
	return c.err
}

func printable(r rune) rune {
	if r < ' ' {
		return ' '
	}
	return r
}

// lines writes text of several lines as it is.
func (c *Corrector) lines(text string) {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	for _, l := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		if l != "" {
			c.text(l)
		}
	}
}

func (c *Corrector) text(text string) {
	c.row = line{text: text}
	c.flushLine()
}

// Zone opens the next zone.
func (c *Corrector) Zone(z *Zone) error {
	c.closeZone()
	if c.known { // off the zone before, as its last moves: the next one's floor may lie higher
		c.draw(math.Max(c.depth, c.card.Retract.Length))
		c.up(c.safe(0))
	}
	c.zone = z
	c.rule = NewRule(c.card, z)
	if c.slant.is {
		reserve := c.slant.off(z.Field.Slope())
		if c.swivel != nil {
			reserve = math.Max(reserve, c.unit*turnedRounding)
		}
		c.cut = math.Max(c.opt.Tolerance-reserve, c.opt.Tolerance/4)
	}
	c.nozzle = newNozzle(c.card, z)
	if c.turning.leans {
		c.turning.leanWord, c.head = c.turning.wordOf(c.card, c.nozzle.lean), nil
	}
	c.level = c.rule.Level()
	c.highest = math.Inf(-1)
	c.before = c.ground.clone()
	c.peaks = c.before.peaks()
	c.stale, c.fresh, c.depth0 = true, true, 0
	c.shells = map[int64]bool{}
	c.stats.Zones = append(c.stats.Zones, ZoneStats{})
	c.text("; zone " + z.Name)
	return c.err
}

func (c *Corrector) closeZone() {
	if c.zone == nil {
		return
	}
	c.flushBead()
	c.words()
	c.mark(false)
	c.gap = c.gap[:0]
	c.stat().Shells = len(c.shells)
	c.zone = nil
}

func (c *Corrector) stat() *ZoneStats { return &c.stats.Zones[len(c.stats.Zones)-1] }

// End writes the end and returns what the correction came to.
func (c *Corrector) End(end string) (Stats, error) {
	c.closeZone()
	c.endLevel()
	c.stats.Last = c.line
	if c.card.FeedBasis == machine.FeedInverseTime {
		c.text("G94")
	}
	c.lines(end)
	c.stats.Lines = c.line
	if c.err = c.out.end(); c.err != nil {
		c.err = fmt.Errorf("corrected motion: %w", c.err)
	}
	return c.stats, c.err
}

// Close gives up what End hasn't ended.
func (c *Corrector) Close() { c.out.end() }

// Event takes the next event of the zone's planar motion.
func (c *Corrector) Event(ev *motion.Event) error {
	if ev.Kind == motion.Move {
		c.stats.SourceMoves++
	}
	if ev.Extrudes() && (c.zone.Keep == nil || c.zone.Keep(ev)) {
		c.take(ev)
		return c.err
	}
	c.flushBead()
	if ev.Extrudes() {
		c.stat().OffPart++
		c.stale = true
		c.depth0 = math.Max(0, c.depth0-ev.E) // it begins by returning what was drawn back
		c.place = ev.To
		return c.err
	}
	c.hold(ev)
	return c.err
}

// hold keeps an event until the next bead tells which way the tip goes there.
func (c *Corrector) hold(ev *motion.Event) {
	held := *ev
	switch ev.Kind {
	case motion.Home, motion.Problem, motion.Notice:
		c.stale = c.stale || ev.Kind != motion.Notice
		return // what they mean for the run is the caller's to say
	case motion.Retract, motion.Unretract: // the firmware's length is unknown: use the card's
		length := c.card.Retract.Length
		if ev.Kind == motion.Retract {
			length = -length
		}
		held = motion.Event{Kind: motion.Move, From: c.place, To: c.place, E: length, Line: ev.Line}
		if n := len(c.gap); n > 0 && c.gap[n-1].Kind == motion.Move {
			held.From, held.To = c.gap[n-1].To, c.gap[n-1].To
		}
	case motion.Word:
		held.Text = append([]byte(nil), ev.Text...)
	}
	c.gap = append(c.gap, held)
	if len(c.gap) > longGap {
		c.shorten()
	}
}

// longGap bounds what is held between two beads; a file may travel for ever.
const longGap = 1 << 14

// shorten forgets the way of a very long gap: the tip goes over the part to
// the next bead instead.
func (c *Corrector) shorten() {
	kept := c.gap[:0]
	for _, ev := range c.gap {
		if ev.Kind == motion.Move {
			c.leave(&ev)
			continue
		}
		c.pass(ev.Text)
	}
	c.gap = kept
	c.stale = true
}

// leave follows a source move without making it.
func (c *Corrector) leave(ev *motion.Event) {
	c.depth0 -= ev.E
	c.place = ev.To
}

// take lays a bead move, or holds it where the bead's winding must be known
// before its travel is made.
func (c *Corrector) take(ev *motion.Event) {
	s := c.stat()
	if !ev.Support {
		s.PlanarFilament += ev.E
	}
	if ev.To.Z != c.shell || len(c.shells) == 0 {
		c.shell = ev.To.Z
		c.shells[int64(math.Round(ev.To.Z*1e4))] = true
	}
	if c.swivel == nil || c.swivel.Range == nil || c.zone.Field.Level() {
		c.mark(ev.Support)
		c.reach(ev)
		c.lay(ev)
		return
	}
	if n := len(c.bead); n > 0 && (ev.From != c.bead[n-1].To || ev.Support != c.bead[n-1].Support) {
		c.flushBead()
	}
	held := *ev
	held.Text = nil
	c.bead = append(c.bead, held)
	if len(c.bead) >= longGap {
		c.flushBead()
	}
}

func (c *Corrector) flushBead() {
	if len(c.bead) == 0 {
		return
	}
	c.mark(c.bead[0].Support)
	c.reach(&c.bead[0])
	for i := range c.bead {
		c.lay(&c.bead[i])
	}
	c.bead = c.bead[:0]
}

// mark says whether the beads that follow are support or the part's, where that
// changes.
func (c *Corrector) mark(support bool) {
	switch {
	case support == c.marked:
		return
	case support:
		c.text(motion.SupportLine)
	default:
		c.text(motion.PartLine)
	}
	c.marked = support
}

// words writes the lines of the gap that move nothing.
func (c *Corrector) words() {
	for i := range c.gap {
		if c.gap[i].Kind != motion.Move {
			c.pass(c.gap[i].Text)
		}
	}
}

// pass writes a line of the source as it is. Lines that may hold a feed of
// their own are written under G94, whatever the moves use.
func (c *Corrector) pass(text []byte) {
	inverse := c.card.FeedBasis == machine.FeedInverseTime
	if inverse {
		c.text("G94")
	}
	c.row = line{text: string(text), has: newFeed}
	c.flushLine()
	if inverse {
		c.text("G93")
	}
}

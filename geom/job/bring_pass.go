package job

import (
	"context"
	"strings"

	"conewright/geom/motion"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// brought passes on what counts of a brought file's events, one pass through it.
//
// What lies before the first bead of the part and after the last is its start
// and end: start_from says what is kept of them, and nothing of that goes this
// way but words: of the start's own those of heat, fan and messages, and all that
// stand among what is laid for the part (skirts, layers at a tip too narrow for a
// bead). Between start and end everything does, in its place.
type brought struct {
	r     *run
	s     *source
	each  func(*motion.Event) error
	later bool     // a zone lies on the bed already
	held  []string // words of the start, until all are known
	tally tally
}

func (r *run) fromBrought(i int, each func(*motion.Event) error) *brought {
	return &brought{r: r, s: &r.sources[i], each: each, later: i > 0}
}

func (b *brought) event(ev *motion.Event) error {
	if b.s.ending != nil {
		b.s.ending.event(ev)
	}
	if ev.Kind == motion.Notice {
		b.tally.add(Warn, ev.Code, ev.Why, ev)
		return nil
	}
	switch {
	case ev.Line > b.s.fit.LastBead:
		return nil
	case ev.Line < b.s.fit.FirstBead:
		b.start(ev)
		return nil
	}
	if err := b.release(); err != nil {
		return err
	}
	switch {
	case ev.Kind == motion.Problem, ev.Kind == motion.Home:
		b.r.findUnknown(b.s.region, ev)
		return nil
	case ev.Kind == motion.Word && ev.Code == motion.CodeForeign:
		// Unlike an unknown M word it can be a macro of any motion.
		b.tally.add(Warn, "foreign", name(ev.Text), ev)
		return nil
	case ev.Kind == motion.Word && pauses(ev.Text):
		b.tally.add(Warn, "pause", name(ev.Text), ev)
	}
	return b.each(ev)
}

// start takes an event before the first bead of the part.
func (b *brought) start(ev *motion.Event) {
	const most = 1000 // words of a start
	if ev.Kind != motion.Word || len(b.held) >= most {
		return
	}
	switch o := b.s.opening; {
	case o != nil && ev.Line < o.end: // stands in the start word for word
	case ev.Code == motion.CodeForeign:
		b.tally.add(Warn, "foreign", name(ev.Text), ev)
	case keptOfStart(ev.Text), b.s.begins > 0 && ev.Line >= b.s.begins:
		if pauses(ev.Text) {
			b.tally.add(Warn, "pause", name(ev.Text), ev)
		}
		b.held = append(b.held, string(ev.Text))
	}
}

// release passes on the words that were held, once the part begins.
func (b *brought) release() error {
	if len(b.held) == 0 {
		return nil
	}
	words := b.held
	b.held = nil
	if b.later {
		words = withoutCooling(words)
	}
	for _, w := range words {
		if err := b.each(&motion.Event{Kind: motion.Word, Text: []byte(w)}); err != nil {
			return err
		}
	}
	return nil
}

// name returns a line's first word.
func name(text []byte) string {
	first, _, _ := strings.Cut(string(text), " ")
	return first[:min(len(first), 40)]
}

// report tells what was counted on the way.
func (b *brought) report() {
	for _, t := range b.tally.list {
		zone := b.s.region.Name
		switch t.code {
		case "foreign":
			b.r.find(t.rank, t.code, zone, 0, [3]float64{}, "%d lines of the brought file begin with %s, first line %d (%q): what that does is the firmware's matter, so they are left out; set temperatures in the job if it heats", t.count, t.what, t.line, t.text)
		case "pause":
			b.r.find(t.rank, t.code, zone, 0, [3]float64{}, "%d lines of the brought file say %s, first line %d: on many machines it parks the head by a straight way, which may lead through the shells", t.count, t.what, t.line)
		case motion.CodeChecksum:
			b.r.find(t.rank, t.code, zone, 0, [3]float64{}, "line %d of the brought file, %q: %s", t.line, t.text, t.what)
		default:
			b.r.find(t.rank, t.code, zone, 0, [3]float64{}, "line %d of the brought file, %q: %s (%d times)", t.line, t.text, t.what, t.count)
		}
	}
}

func (r *run) findUnknown(g *Region, ev *motion.Event) {
	r.unknown++
	if r.unknown > maxListed {
		return
	}
	why := ev.Why
	if ev.Kind == motion.Home {
		why = "the machine would leave the part and home"
	}
	r.find(Stop, "unknown-word", g.Name, 0, point(ev.To), "line %d of the brought file, %q: %s", ev.Line, ev.Text, why)
}

// findEnds finds where each brought file's start ends: what follows belongs to
// the print, though no bead of the part be laid yet. If start and end are to be
// kept, those are the first file's start and the last one's end.
func (r *run) findEnds(ctx context.Context) error {
	var last *source
	for i := range r.sources {
		s := &r.sources[i]
		if s.fit == nil {
			continue
		}
		o, err := r.readOpening(ctx, s)
		first := last == nil
		last = s
		switch keep := r.setup.StartFrom == FromFile && first; {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil && keep:
			return err
		case err != nil: // a start without end: all before the part is it
			continue
		case keep:
			s.opening = o
		}
		s.begins = o.end
	}
	if last != nil && r.setup.StartFrom == FromFile {
		last.ending = &ending{after: last.fit.LastBead}
	}
	return nil
}

func (r *run) readOpening(ctx context.Context, s *source) (*opening, error) {
	in, err := r.open(s.region)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return readOpening(ctx, in, s.region, s.fit, r.readOptions())
}

// start returns the text before our modes, and how much filament it leaves drawn
// back, mm.
func (r *run) start() (text string, drawn float64) {
	for i := range r.sources {
		if o := r.sources[i].opening; o != nil {
			return strings.Join(o.text(), "\n"), o.drawn
		}
	}
	return r.expand(r.setup.Machine.Card.Start), 0
}

// end returns the text after the last zone.
func (r *run) end(ctx context.Context, c *unwarp.Corrector) (string, error) {
	var e *ending
	var offset r3.Vec
	for i := range r.sources {
		if o := r.sources[i].opening; o != nil {
			offset = o.modes.Offset
		}
		if r.sources[i].ending != nil {
			e = r.sources[i].ending
		}
	}
	if e == nil {
		return r.expand(r.setup.Machine.Card.End), nil
	}
	return r.fileEnd(ctx, c, e, offset)
}

// fileEnd returns the end of a brought file, made safe.
func (r *run) fileEnd(ctx context.Context, c *unwarp.Corrector, e *ending, offset r3.Vec) (string, error) {
	card := r.setup.Machine.Card
	rest := c.Leave()
	if e.long {
		return "", wrong("start_from", "use start_from: card", "the brought file goes on for over %d lines after the part's last bead: no end that could be kept", maxEndLines)
	}
	if len(e.lines) == 0 {
		return "", nil
	}
	t := tamer{card: card, at: rest, over: r.printed()}
	for _, l := range e.handOver(card, rest, offset) {
		t.lines = append(t.lines, endLine{text: l})
	}
	t.lines = append(t.lines, e.lines...)
	if err := t.tamed(ctx); err != nil {
		return "", err
	}
	line := rest.Line
	if card.FeedBasis == "inverse-time" {
		line++
	}
	var text strings.Builder
	for i, l := range t.lines {
		if l.text != "" {
			line++
			text.WriteString(l.text + "\n")
		}
		for _, n := range t.notes {
			if n.index == i {
				r.find(n.rank, n.code, "", line, [3]float64{}, "line %d of the brought file's end, %s", n.line, n.text)
			}
		}
	}
	return text.String(), nil
}

// headReach is how far the head may stand out over a print, mm, beyond its tip
// (common practice, no source).
const headReach = 30.0

// printed returns the box of all zones in plan, widened by the head.
func (r *run) printed() box2 {
	b := emptyBox2()
	for _, g := range r.result.Regions {
		m := g.Mesh.Bounds()
		b.add(r2.Vec{X: m.Min.X - headReach, Y: m.Min.Y - headReach})
		b.add(r2.Vec{X: m.Max.X + headReach, Y: m.Max.Y + headReach})
	}
	return b
}

package brought

import (
	"context"
	"math"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/runlog"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pass passes on what counts of a brought file's events, one pass through it.
//
// What lies before the first bead of the part and after the last is its start
// and end: start_from says what is kept of them, and nothing of that goes this
// way but words: of the start's own those of heat, fan and messages, and all that
// stand among what is laid for the part (skirts, layers at a tip too narrow for a
// bead). Between start and end everything does, in its place.
type Pass struct {
	files *Files
	s     *File
	each  func(*motion.Event) error
	later bool     // a zone lies on the bed already
	held  []string // words of the start, until all are known
	tally tally
}

// Pass returns one pass through file f, which hands on to each; later tells that
// a zone lies on the bed already.
func (b *Files) Pass(f *File, later bool, each func(*motion.Event) error) *Pass {
	return &Pass{files: b, s: f, each: each, later: later}
}

// Look hears of every line if the pass needs it; else it is nil.
func (b *Pass) Look() func(*motion.Look) {
	if b.s.ending == nil {
		return nil
	}
	return b.s.ending.look
}

// Event takes the file's next event.
func (b *Pass) Event(ev *motion.Event) error {
	if b.s.ending != nil {
		b.s.ending.event(ev)
	}
	if ev.Kind == motion.Notice {
		b.tally.add(runlog.Warn, ev.Code, ev.Why, ev)
		return nil
	}
	switch {
	case ev.Line > b.s.Fit.LastBead:
		return nil
	case ev.Line < b.s.Fit.FirstBead:
		b.start(ev)
		return nil
	}
	if err := b.release(); err != nil {
		return err
	}
	switch {
	case ev.Kind == motion.Problem, ev.Kind == motion.Home:
		b.files.findUnknown(b.s.Target.Name, ev)
		return nil
	case ev.Kind == motion.Word && !b.passes(ev):
		return nil
	case ev.Kind == motion.Move && !ev.Extrudes() && beyond(ev.To):
		b.files.find(runlog.Stop, "travel-limit", b.s.Target.Name, 0, [3]float64{}, "line %d of the brought file leads to x %.0f y %.0f z %.0f, beyond any machine's travel", ev.Line, ev.To.X, ev.To.Y, ev.To.Z)
		return nil
	}
	return b.each(ev)
}

// farthest is beyond any machine that this is for, mm. A travel that goes there is
// a slip of the pen; it isn't handed on.
const farthest = 5000.0

func beyond(p r3.Vec) bool {
	return max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) > farthest
}

// passes reports whether a word may go on into the print, and tells of it if it
// may not, or if it is a pause.
func (b *Pass) passes(ev *motion.Event) bool {
	switch f := fateOf(string(ev.Text)); {
	case ev.Code == motion.CodeForeign || f == leftOut:
		b.tally.add(runlog.Note, "foreign", message.Name(name(ev.Text)), ev)
		return false
	case f == stops:
		harm := *ev
		harm.Why = message.New("amid the print this could shift, tune or reset the machine, run another file or end the program")
		b.files.findUnknown(b.s.Target.Name, &harm)
		return false
	case pauses(ev.Text):
		b.tally.add(runlog.Warn, "pause", message.Name(name(ev.Text)), ev)
	}
	return true
}

// start takes an event before the first bead of the part.
func (b *Pass) start(ev *motion.Event) {
	const most = 1000 // words of a start
	if ev.Kind != motion.Word || len(b.held) >= most {
		return
	}
	switch o := b.s.opening; {
	case o != nil && ev.Line < o.end: // stands in the start word for word
	case b.s.begins > 0 && ev.Line >= b.s.begins:
		if b.passes(ev) {
			b.held = append(b.held, string(ev.Text))
		}
	case KeptOfStart(ev.Text) && fateOf(string(ev.Text)) == passes:
		b.held = append(b.held, string(ev.Text))
	}
}

// release passes on the words that were held, once the part begins.
func (b *Pass) release() error {
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

// Report tells what was counted on the way.
func (b *Pass) Report() {
	for _, t := range b.tally.list {
		zone := b.s.Target.Name
		switch t.code {
		case "foreign":
			b.files.find(t.rank, t.code, zone, 0, [3]float64{}, "%d lines of the brought file begin with %s, first line %d (%q): what that does is the firmware's matter, so they are left out; set temperatures in the job if it heats", t.count, t.what, t.line, t.text)
		case "pause":
			b.files.find(t.rank, t.code, zone, 0, [3]float64{}, "%d lines of the brought file say %s, first line %d: on many machines it parks the head by a straight way, which may lead through the shells", t.count, t.what, t.line)
		case motion.CodeChecksum:
			b.files.find(t.rank, t.code, zone, 0, [3]float64{}, "line %d of the brought file, %q: %s", t.line, t.text, t.what)
		default:
			b.files.find(t.rank, t.code, zone, 0, [3]float64{}, "line %d of the brought file, %q: %s (%d times)", t.line, t.text, t.what, t.count)
		}
		if n := b.tally.more[t.code]; n > 0 {
			delete(b.tally.more, t.code)
			b.files.find(t.rank, t.code, b.s.Target.Name, 0, [3]float64{}, "%d more lines of the brought file, of kinds that aren't listed here", n)
		}
	}
}

func (b *Files) findUnknown(zone string, ev *motion.Event) {
	b.unknown++
	if b.unknown > runlog.MaxListed {
		return
	}
	why := ev.Why
	if ev.Kind == motion.Home {
		why = message.New("the machine would leave the part and home")
	}
	b.find(runlog.Stop, "unknown-word", zone, 0, runlog.Point(ev.To), "line %d of the brought file, %q: %s", ev.Line, ev.Text, why)
}

// FindEnds finds where each file's start ends: what follows belongs to the print,
// though no bead of the part be laid yet. If start and end are to be kept, those
// are the first file's start and the last one's end.
func (b *Files) FindEnds(ctx context.Context, keep bool) error {
	for i, f := range b.list {
		o, err := b.readOpening(ctx, f)
		switch first := keep && i == 0; {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil && first:
			return err
		case err != nil: // a start without end: all before the part is it
			continue
		case first:
			f.opening = o
		}
		f.begins = o.end
	}
	if n := len(b.list); n > 0 && keep {
		last := b.list[n-1]
		last.ending = &ending{after: last.Fit.LastBead}
	}
	return nil
}

func (b *Files) readOpening(ctx context.Context, f *File) (*Opening, error) {
	in, err := f.Source.Open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return ReadOpening(ctx, in, f.Target, f.Fit, b.read)
}

// Start returns the first file's start, if that is kept, and how much filament it
// leaves drawn back, mm.
func (b *Files) Start() (text string, drawn float64, ok bool) {
	if len(b.list) == 0 || b.list[0].opening == nil {
		return "", 0, false
	}
	o := b.list[0].opening
	return strings.Join(o.Text(), "\n"), o.Drawn, true
}

// Leave says how the machine rests after the tip has left the part.
type Leave func() unwarp.Rest

// End returns the last file's end made safe, if that is kept; over is the print
// in plan, widened by the head.
func (b *Files) End(ctx context.Context, card *machine.Card, leave Leave, over Box) (text string, ok bool, err error) {
	if len(b.list) == 0 {
		return "", false, nil
	}
	e := b.list[len(b.list)-1].ending
	if e == nil {
		return "", false, nil
	}
	text, err = b.fileEnd(ctx, card, leave(), e, over)
	return text, true, err
}

// fileEnd returns the end of a brought file, made safe.
func (b *Files) fileEnd(ctx context.Context, card *machine.Card, rest unwarp.Rest, e *ending, over Box) (string, error) {
	if e.long {
		return "", wrong("start_from", "use start_from: card", "the brought file goes on for over %d lines after the part's last bead: no end that could be kept", maxEndLines)
	}
	if len(e.lines) == 0 {
		return "", nil
	}
	t := safeEnd{card: card, at: rest, over: over}
	for _, l := range e.handOver(card, rest) {
		t.lines = append(t.lines, endLine{text: l})
	}
	t.lines = append(t.lines, e.lines...)
	if err := t.makeSafe(ctx); err != nil {
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
				b.find(n.rank, n.code, "", line, [3]float64{}, "line %d of the brought file's end, %s", n.line, n.text)
			}
		}
	}
	return text.String(), nil
}

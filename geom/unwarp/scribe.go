package unwarp

import (
	"io"

	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/parallel"
)

// line is one line of the corrected file before it is spelled out: a text as it
// is, or a move's words.
type line struct {
	text    string
	has     words
	to      machine.Words
	e, feed float64
}

// words tells which words a line holds.
type words uint16

const (
	hasX words = 1 << iota
	hasY
	hasZ
	hasSwivel // of the first turning axis of the card
	hasSecond // of the second
	hasE
	// hasFeed: the F word, left out where it is the one in force.
	hasFeed
	// ownFeed: it holds for this line alone, as under G93.
	ownFeed
	// newFeed: the line, a text, may have changed the feed in force.
	newFeed
)

// scribe spells lines out and writes them, on a goroutine of its own: spelling
// out takes a third of the time that finding the moves does.
type scribe struct {
	pipe  *parallel.Pipe[[]line]
	lines *parallel.Sender[line]
	ended bool
}

const (
	pageLines = 2048
	pages     = 3 // one filled, one waiting, one spelled out
)

func newScribe(w io.Writer, card *machine.Card) *scribe {
	pipe := parallel.Consume(pages, parallel.NoItems[line], func(p *parallel.Pipe[[]line]) error {
		pen := pen{out: w, decimals: card.Decimals}
		for i, a := range card.Turning() {
			pen.letters[i] = a.Letter[0]
		}
		return pen.write(p)
	})
	return &scribe{pipe: pipe, lines: parallel.SendTo(pipe, pageLines)}
}

// add takes the next line. It fails once a write has failed.
func (s *scribe) add(l *line) error {
	if s.ended {
		return s.pipe.Close()
	}
	return s.lines.Send(l)
}

// end writes what waits, and returns what went wrong.
func (s *scribe) end() error {
	if !s.ended {
		s.ended = true
		s.lines.Flush()
	}
	return s.pipe.Close()
}

// pen spells lines out.
type pen struct {
	out      io.Writer
	decimals machine.Decimals
	letters  [machine.MostTurning]byte // of the turning axes
	buf      []byte                    // spelled out and not written yet
	feed     []byte                    // in force
}

// penFull is how many bytes a pen gathers before it writes them: few enough to
// stay in the processor's cache.
const penFull = 1 << 16

// write writes all lines of the pipe, until a write fails.
func (p *pen) write(lines *parallel.Pipe[[]line]) error {
	err := parallel.Each(lines, func(l *line) error {
		if p.spell(l); len(p.buf) >= penFull {
			return p.flush()
		}
		return nil
	})
	if err != nil {
		return err
	}
	return p.flush()
}

func (p *pen) flush() error {
	_, err := p.out.Write(p.buf)
	p.buf = p.buf[:0]
	return err
}

// spell appends a line's bytes to what is to be written.
func (p *pen) spell(l *line) {
	if l.has&^newFeed == 0 {
		if l.has&newFeed != 0 {
			p.feed = p.feed[:0]
		}
		p.buf = append(append(p.buf, l.text...), '\n')
		return
	}
	b := append(p.buf, 'G', '1')
	if l.has&hasX != 0 {
		b = motion.AppendWord(b, 'X', l.to.X, p.decimals.XYZ)
	}
	if l.has&hasY != 0 {
		b = motion.AppendWord(b, 'Y', l.to.Y, p.decimals.XYZ)
	}
	if l.has&hasZ != 0 {
		b = motion.AppendWord(b, 'Z', l.to.Z, p.decimals.XYZ)
	}
	if l.has&hasSwivel != 0 {
		b = motion.AppendWord(b, p.letters[0], l.to.Turn[0], p.decimals.Angle)
	}
	if l.has&hasSecond != 0 {
		b = motion.AppendWord(b, p.letters[1], l.to.Turn[1], p.decimals.Angle)
	}
	if l.has&hasE != 0 {
		b = motion.AppendWord(b, 'E', l.e, p.decimals.E)
	}
	if l.has&(hasFeed|ownFeed) != 0 {
		at := len(b)
		b = motion.AppendFeed(b, l.feed)
		switch word := b[at:]; {
		case l.has&ownFeed != 0:
			p.feed = p.feed[:0]
		case string(word) == string(p.feed):
			b = b[:at]
		default:
			p.feed = append(p.feed[:0], word...)
		}
	}
	p.buf = append(b, '\n')
}

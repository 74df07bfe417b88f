package brought

import (
	"context"
	"io"

	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/runlog"
)

// After a word that isn't understood the machine's place is a guess until the
// file says it anew, and beads laid from a guess fit nothing. So a file that was
// refused is searched for such words: they may be all that is wrong with it.

const (
	// layersOfStart is how many heights with beads a start can have: homing above
	// them is inside the print.
	layersOfStart = 5
	// strangeShare is the part of all lines that may be strange before the file is
	// taken for one of another kind, such as one that was unwarped already.
	strangeShare = 0.01
)

// strange is what a refused file holds that isn't understood.
type strange struct {
	count int            // of its lines
	lines int            // of the file
	list  []motion.Event // the first of them
}

// findStrange reads a refused file again for words that aren't understood.
func (b *Files) findStrange(ctx context.Context, open func() (io.ReadCloser, error)) (s strange, err error) {
	in, err := open()
	if err != nil {
		return s, err
	}
	defer in.Close()
	height, layers, inside := -1.0, 0, 0 // inside: of those found so far, before the last bead
	stats, err := motion.Read(ctx, in, b.read, func(ev *motion.Event) error {
		switch {
		case ev.Extrudes():
			if ev.To.Z != height {
				height, layers = ev.To.Z, layers+1
			}
			inside = s.count
			return nil
		case ev.Kind == motion.Problem && layers > 0, ev.Kind == motion.Home && layers > layersOfStart:
		default:
			return nil
		}
		s.count++
		if len(s.list) < runlog.MaxListed {
			kept := *ev
			kept.Text = append([]byte(nil), ev.Text...)
			s.list = append(s.list, kept)
		}
		return nil
	})
	s.lines = int(stats.Lines)
	s.list = s.list[:min(len(s.list), inside)]
	s.count = inside
	return s, err
}

// alien reports a file of which too much isn't understood.
func (s *strange) alien() bool { return float64(s.count) > strangeShare*float64(s.lines) }

// text tells of an alien file in a sentence for its refusal.
func (s *strange) text() message.Text {
	ev := &s.list[0]
	return message.Join("; ", message.New("%d of its %d lines aren't understood, the first is line %d, %q: %s", s.count, s.lines, ev.Line, ev.Text, ev.Why), message.New("was it unwarped already?"))
}

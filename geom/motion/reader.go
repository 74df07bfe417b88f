package motion

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
)

// ReadOptions are the choices of a read; the zero value works.
type ReadOptions struct {
	// Tolerance is the greatest distance of an arc's chords from the arc, mm.
	// 0: DefaultTolerance.
	Tolerance float64
	// Filament is the diameter of the filament, mm, for Stats.BeadArea. 0: 1.75.
	Filament float64
	// Swivel is the letter of the rotary axis (A, B, C, U, V or W) that moves
	// may name. 0: none, and a move that names one is a Problem.
	Swivel byte
	// Marked: the file is the built-in planner's, so SupportLine and PartLine mean
	// something; in other files they are comments like any other.
	Marked bool
	// Size is the input's length in bytes and Progress gets the part of it that
	// was read, 0 to 1. Both may be left out.
	Size     int64
	Progress func(done float64)
	// Look is shown every line before it is carried out. May be left out.
	Look func(*Look)
}

// DefaultTolerance of arcs, mm: a quarter of the default tolerance of a job,
// so that reading takes little of what unwarping may use.
const DefaultTolerance = 0.005

// Stats are the sums of a read.
type Stats struct {
	Bytes, Lines int64
	Moves, Beads int64 // events of kind Move; those that lay a bead
	// Filament is the sum of E of beads, Drawn the sum of all E: mm.
	Filament, Drawn float64
	Length          float64 // of all beads, mm
	// BeadArea is the mean cross-section that E and length give, mm2, taking E
	// as mm of filament.
	BeadArea     float64
	FilamentArea float64 // mm2
	Problems     int64
	Checksums    int64 // lines with a wrong checksum
	RoundArcs    int64 // arcs whose radii differ by more than ArcSlack
	ArcError     float64
	Volumetric   bool // M200 was used: E was mm3 and has been turned into mm
	// EModeLine is the first line whose E had to be guessed absolute or
	// relative, because G90/G91 and M82/M83 disagreed; 0: none.
	EModeLine int
}

// LooksVolumetric reports that E looks like mm3 instead of mm of filament, for
// beads that are expected to have that cross-section (mm2): E / length is then
// too great by the filament's cross-section. Within 30 % of it nothing else
// explains the sum; flow settings stay far from it for filament of 1.75 mm.
func (s *Stats) LooksVolumetric(expected float64) bool {
	if !(expected > 0) || !(s.BeadArea > 0) || s.Volumetric {
		return false
	}
	ratio := s.BeadArea / expected / s.FilamentArea
	return s.BeadArea/expected > 1.8 && ratio > 0.7 && ratio < 1.3
}

// chunk is the read buffer and so the longest line, comment apart: a mebibyte,
// thousands of times a real line.
const chunk = 1 << 20

// askEvery is how many lines or chords of an arc go by before the reader asks whether
// it is to end: what is done with them takes under a tenth of a second.
const askEvery = 256

// reader holds the state between lines.
type reader struct {
	ctx  context.Context
	opt  ReadOptions
	each func(*Event) error
	ev   *Event // where the next event is made
	st   Stats
	b    block

	scratch, text []byte
	eol           byte
	skipping      bool // the rest of a line that is too long

	pos    [3]float64 // in the coordinates that the file began with
	off    [3]float64 // G92: word = pos - off
	saved  [3]float64 // what G92.2 took off and G92.3 puts back
	known  Axes
	swivel float64
	e      float64 // where E stands: mm, or mm3 after M200
	area   float64 // mm2 of filament by which E is divided; 0: E is a length
	// diameter is the one that M200 gave area by, mm.
	diameter float64
	unit     float64 // mm for one unit of length
	feed     float64 // as said, mm/min, or 1/min under G93

	relative, eRelative, inverse, centreAbsolute bool
	eSaid                                        int8 // 0: no M82 or M83 yet, else 82 or 83
	eDoubt                                       bool // firmwares would differ about E's mode
	motion                                       int16
	plane                                        [3]int // first, second axis of the plane, the one across
	tool                                         float64
	laid                                         bool // a bead has been laid
	fine                                         int  // chords of arcs that were too many for their arc
	support                                      bool // after SupportLine
}

// Read streams the events of a motion file to each, in order. An error of each
// ends the read and is returned as it is; so is the context's. Faults of the
// file are no errors but events of kind Problem.
func Read(ctx context.Context, src io.Reader, o ReadOptions, each func(*Event) error) (Stats, error) {
	return newReader(o, each).read(ctx, src)
}

func (r *reader) read(ctx context.Context, src io.Reader) (Stats, error) {
	r.ctx = ctx
	err := r.run(src)
	if r.st.Length > 0 {
		r.st.BeadArea = r.st.Filament * r.st.FilamentArea / r.st.Length
	}
	return r.st, err
}

func newReader(o ReadOptions, each func(*Event) error) *reader {
	if !(o.Tolerance > 0) {
		o.Tolerance = DefaultTolerance
	}
	if !(o.Filament > 0) {
		o.Filament = 1.75
	}
	if o.Swivel >= 'A' && o.Swivel <= 'Z' {
		o.Swivel |= 0x20
	}
	r := &reader{opt: o, each: each, ev: &Event{}, unit: 1, motion: gNone, plane: [3]int{0, 1, 2}, tool: math.NaN()}
	r.st.FilamentArea = math.Pi / 4 * o.Filament * o.Filament
	return r
}

// run cuts the input into lines. A carriage return ends a line too where the
// file's beginning holds no line feed.
func (r *reader) run(src io.Reader) error {
	buf := make([]byte, chunk)
	fill := 0
	for {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		n, err := io.ReadFull(src, buf[fill:])
		end := err == io.EOF || err == io.ErrUnexpectedEOF
		if err != nil && !end {
			return fmt.Errorf("motion file, after line %d: %w", r.st.Lines, err)
		}
		s := buf[:fill+n]
		if r.st.Bytes == 0 {
			s = r.begin(s)
		}
		r.st.Bytes += int64(n)
		rest, err := r.lines(s)
		if err != nil {
			return err
		}
		if end {
			return r.last(rest)
		}
		if fill = copy(buf, rest); fill == len(buf) {
			if err := r.long(buf); err != nil {
				return err
			}
			fill = 0
		}
		if r.opt.Progress != nil && r.opt.Size > 0 {
			r.opt.Progress(math.Min(1, float64(r.st.Bytes)/float64(r.opt.Size)))
		}
	}
}

// begin takes off a byte order mark and finds out how lines end.
func (r *reader) begin(s []byte) []byte {
	s = bytes.TrimPrefix(s, []byte("\xef\xbb\xbf"))
	r.eol = '\n'
	if bytes.IndexByte(s, '\n') < 0 && bytes.IndexByte(s, '\r') >= 0 {
		r.eol = '\r'
	}
	return s
}

// lines handles all whole lines of s and returns what is left.
func (r *reader) lines(s []byte) ([]byte, error) {
	for {
		i := bytes.IndexByte(s, r.eol)
		if i < 0 {
			return s, nil
		}
		if r.skipping {
			r.skipping = false
		} else {
			r.st.Lines++
			if r.st.Lines%askEvery == 0 {
				if err := r.ctx.Err(); err != nil {
					return nil, err
				}
			}
			if err := r.line(s[:i]); err != nil {
				return nil, err
			}
		}
		s = s[i+1:]
	}
}

// last handles a last line without a line end.
func (r *reader) last(s []byte) error {
	if r.opt.Progress != nil {
		r.opt.Progress(1)
	}
	if r.skipping || len(s) == 0 {
		return nil
	}
	r.st.Lines++
	return r.line(s)
}

// long handles a line that fills the buffer: its rest is passed over, which is
// harmless only where it is a comment.
func (r *reader) long(s []byte) error {
	if r.skipping {
		return nil
	}
	r.skipping = true
	r.st.Lines++
	if i := bytes.IndexByte(s, ';'); i >= 0 {
		return r.line(s[:i])
	}
	return r.problem(s[:60], "the line is over 1 MiB long")
}

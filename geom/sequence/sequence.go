// Package sequence judges the start and the end of a motion file: the lines by
// which a machine is homed, heated and lifted before the print, and cooled after
// it. They come from a machine card or from a brought file; both are read here by
// the same interpreter.
package sequence

import (
	"context"
	"regexp"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// Remark is something about a start or an end that its user should know.
type Remark struct {
	Line int    // counted from 1; 0: about the whole
	Text string // of the line
	What message.Text
}

// maxRemarks bounds the remarks of one text.
const maxRemarks = 20

// Start judges a start: does it home, heat and lift, and is each of its words and
// places understood? Names in braces are those that nothing was put in for.
func Start(ctx context.Context, text string, card *machine.Card) ([]Remark, error) {
	s := reading{card: card}
	if err := s.read(ctx, text); err != nil {
		return nil, err
	}
	if !s.homes {
		s.whole("it homes nothing, as far as can be seen")
	}
	if s.heated["M104"]+s.heated["M109"] <= 0 {
		s.whole("it doesn't heat the nozzle, as far as can be seen")
	}
	if !s.lifted {
		s.whole("it doesn't lift the tip off the bed, as far as can be seen")
	}
	return s.remarks, nil
}

// End judges an end: does it turn the heat off, and is each of its words and
// places understood?
func End(ctx context.Context, text string, card *machine.Card) ([]Remark, error) {
	s := reading{card: card}
	if err := s.read(ctx, text); err != nil {
		return nil, err
	}
	if !s.coldNozzle && !s.macro {
		s.whole("it doesn't turn the nozzle's heat off, as far as can be seen")
	}
	if !s.coldBed && !s.macro {
		s.whole("it doesn't turn the bed's heat off, as far as can be seen")
	}
	return s.remarks, nil
}

// reading is what the interpreter learns of a text.
type reading struct {
	card    *machine.Card
	lines   []string
	remarks []Remark

	homes, lifted, macro bool
	heated               map[string]float64 // greatest S or R by word
	coldNozzle, coldBed  bool
}

// lineEnds makes every end of a line the same: a return alone ends one too, as in
// a motion file.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

var named = regexp.MustCompile(`\{[^{}\n]*\}`)

func (s *reading) read(ctx context.Context, text string) error {
	s.heated = map[string]float64{}
	text = lineEnds.Replace(text)
	s.lines = strings.Split(text, "\n")
	for i, line := range s.lines {
		if name := named.FindString(line); name != "" {
			s.remark(i+1, message.New("%s isn't a name that is known: {nozzle_temp} and {bed_temp} are", name))
		}
		if strings.ContainsFunc(line, func(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f || r == 0xfffd }) {
			s.remark(i+1, message.New("it holds a character that is no text"))
		}
	}
	opt := motion.ReadOptions{}
	if sw := s.card.AsSwivel(); sw != nil {
		opt.Swivel = sw.Letter[0]
	}
	_, err := motion.Read(ctx, strings.NewReader(text), opt, func(ev *motion.Event) error {
		s.event(ev)
		return nil
	})
	return err
}

func (s *reading) event(ev *motion.Event) {
	switch ev.Kind {
	case motion.Problem:
		s.remark(ev.Line, message.New("it isn't understood: %s", ev.Why))
	case motion.Home:
		s.homes = s.homes || strings.HasPrefix(strings.ToUpper(strings.Join(strings.Fields(string(ev.Text)), "")), "G28")
		s.lifted = false
	case motion.Word:
		s.word(ev)
	case motion.Move:
		s.move(ev)
	}
}

func (s *reading) move(ev *motion.Event) {
	rise, went := 0.0, r3.Sub(ev.To, ev.From)
	for i, d := range s.card.Linears() {
		rise += d.Z * [3]float64{went.X, went.Y, went.Z}[i]
	}
	if rise > 0 {
		s.lifted = true
	}
	const hair = 1e-6
	t := &s.card.Travel
	for _, a := range []struct {
		letter   string
		axis     motion.Axes
		from, to float64
		within   [2]float64
	}{{"X", motion.AxisX, ev.From.X, ev.To.X, t.X}, {"Y", motion.AxisY, ev.From.Y, ev.To.Y, t.Y}, {"Z", motion.AxisZ, ev.From.Z, ev.To.Z, t.Z}} {
		if ev.ToKnown&a.axis != 0 && a.from != a.to && (a.to < a.within[0]-hair || a.to > a.within[1]+hair) {
			s.remark(ev.Line, message.New("it leads to %s %.2f, the machine goes from %g to %g", a.letter, a.to, a.within[0], a.within[1]))
			return
		}
	}
}

func (s *reading) remark(line int, what message.Text) {
	if len(s.remarks) >= maxRemarks {
		return
	}
	r := Remark{Line: line, What: what}
	if line > 0 && line <= len(s.lines) {
		r.Text = strings.TrimSpace(s.lines[line-1])
		r.Text = r.Text[:min(len(r.Text), 60)]
	}
	s.remarks = append(s.remarks, r)
}

func (s *reading) whole(format string) { s.remark(0, message.New(format)) }

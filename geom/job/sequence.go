package job

import (
	"context"
	"strings"

	"conewright/geom/message"
	"conewright/geom/sequence"
)

// settleStart returns the start that is written, after which words mean bed
// coordinates, and notes what is odd about the one that was given.
func (r *run) settleStart(ctx context.Context, text string) (string, error) {
	list, err := sequence.Start(ctx, text, r.setup.Machine.Card)
	if err != nil {
		return "", err
	}
	lines, left, err := sequence.Settle(ctx, text)
	r.findRemarks(message.New("the start"), append(list, left...))
	return strings.Join(lines, "\n"), err
}

// findEnd notes what is odd about the end that is written.
func (r *run) findEnd(ctx context.Context, text string) error {
	list, err := sequence.End(ctx, text, r.setup.Machine.Card)
	r.findRemarks(message.New("the end"), list)
	return err
}

func (r *run) findRemarks(whose message.Text, list []sequence.Remark) {
	for _, m := range list {
		if m.Line > 0 {
			r.find(Warn, "start", "", 0, [3]float64{}, "%s, line %d (%q): %s", whose, m.Line, m.Text, m.What)
		} else {
			r.find(Warn, "start", "", 0, [3]float64{}, "%s: %s", whose, m.What)
		}
	}
}

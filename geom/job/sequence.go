package job

import (
	"context"

	"conewright/geom/message"
	"conewright/geom/sequence"
)

// findStart notes what is odd about the start that is written.
func (r *run) findStart(ctx context.Context, text string) error {
	list, err := sequence.Start(ctx, text, r.setup.Machine.Card)
	r.findRemarks(message.New("the start"), list)
	return err
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

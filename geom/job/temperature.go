package job

import (
	"strings"

	"conewright/geom/brought"
	"conewright/geom/motion"
)

// heatWatch finds the first temperature beyond the card's, a heater.
type heatWatch struct {
	run  *run
	told map[string]bool
}

func (r *run) watchHeat() *heatWatch { return &heatWatch{run: r, told: map[string]bool{}} }

// text looks at every line of a start or an end; where says whose.
func (w *heatWatch) text(text, where string) {
	for line := range strings.Lines(text) {
		w.word(strings.TrimSpace(line), where)
	}
}

// pass looks at a word on its way into the motion.
func (w *heatWatch) pass(zone string, each func(*motion.Event) error) func(*motion.Event) error {
	return func(ev *motion.Event) error {
		if ev.Kind == motion.Word {
			w.word(string(ev.Text), "zone "+zone)
		}
		return each(ev)
	}
}

func (w *heatWatch) word(word, where string) {
	heater, degrees, ok := brought.Heats(word)
	if !ok {
		return
	}
	card := w.run.setup.Machine.Card
	most := card.MaxNozzleTemp
	if strings.HasPrefix(heater, "bed") {
		most = card.MaxBedTemp
	} else if !strings.HasPrefix(heater, "nozzle") {
		return
	}
	if most > 0 && degrees > most && !w.told[heater] {
		w.told[heater] = true
		w.run.find(Stop, "temperature", "", 0, [3]float64{}, "%s: %q asks for %g degrees, the machine card allows %g: use less, or mend the card's limit", where, word, degrees, most)
	}
}

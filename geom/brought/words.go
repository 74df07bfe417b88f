package brought

import (
	"strconv"
	"strings"

	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/runlog"
)

// KeptOfStart reports whether a word of a brought file's start lives on under
// start_from: card: heat, fan and messages. They carry the material's needs; all
// else of the start is the source machine's own (common practice, no source).
func KeptOfStart(text []byte) bool {
	switch mCode(string(text)) {
	case 104, 109, 140, 190, 141, 191, 116, 106, 107, 117, 118:
		return true
	}
	return false
}

// mCode returns the number of a line's leading M word, or -1.
func mCode(text string) int {
	if len(text) < 2 || text[0]|0x20 != 'm' {
		return -1
	}
	rest := strings.TrimLeft(text[1:], " \t")
	end := 0
	for end < len(rest) && rest[end] >= '0' && rest[end] <= '9' {
		end++
	}
	n, err := strconv.Atoi(rest[:end])
	if err != nil || end < len(rest) && rest[end] == '.' {
		return -1
	}
	return n
}

// heat is a temperature that a word asks for.
type heat struct {
	what   string // which heater
	target float64
}

// heatOf reads a word that heats; ok is false for any other, and for one without
// a temperature.
func heatOf(text string) (h heat, ok bool) {
	text = strings.ToUpper(text)
	switch mCode(text) {
	case 104, 109:
		h.what = "nozzle"
	case 140, 190:
		h.what = "bed"
	case 141, 191:
		h.what = "chamber"
	default:
		return h, false
	}
	if v, ok := letter(text, 'T'); ok {
		h.what += strconv.FormatFloat(v, 'f', -1, 64)
	}
	if h.target, ok = letter(text, 'S'); !ok {
		h.target, ok = letter(text, 'R')
	}
	return h, ok
}

// Heats reads a word that heats: which heater ("nozzle", "bed" or "chamber", with
// a number where the word has one), and to how many degrees C.
func Heats(word string) (heater string, degrees float64, ok bool) {
	h, ok := heatOf(word)
	return h.what, h.target, ok
}

// letter returns the number of a letter's word after the first.
func letter(text string, letter byte) (float64, bool) {
	i := strings.IndexByte(text[1:], letter)
	if i < 0 {
		return 0, false
	}
	rest := strings.TrimLeft(text[i+2:], " \t")
	end := 0
	for end < len(rest) && strings.IndexByte("+-.0123456789", rest[end]) >= 0 {
		end++
	}
	v, err := strconv.ParseFloat(rest[:end], 64)
	return v, err == nil
}

// withoutCooling leaves out heat that is below what the same words end with: a
// start may cool the nozzle to probe, but between two zones nothing may.
func withoutCooling(words []string) []string {
	last := map[string]float64{}
	for _, w := range words {
		if h, ok := heatOf(w); ok {
			last[h.what] = h.target
		}
	}
	var kept []string
	for _, w := range words {
		if h, ok := heatOf(w); ok && (h.target < last[h.what] || h.target <= 0) {
			continue
		}
		kept = append(kept, w)
	}
	return kept
}

// pauses reports words on which the firmware itself may park the head.
func pauses(text []byte) bool {
	switch mCode(string(text)) {
	case 25, 125, 226, 600, 601:
		return true
	}
	return false
}

// tally counts what is told once a file, however often it happens. Of each code only
// the first runlog.MaxListed kinds are told apart: a file can hold a new one in every
// line.
type tally struct {
	list  []tallied
	known map[tallyKey]int // where each stands in list
	kinds map[string]int   // listed of each code
	more  map[string]int   // events of kinds that aren't listed, of each code
}

type tallyKey struct{ code, what string }

type tallied struct {
	rank, code  string
	what        message.Text
	count, line int
	text        string
}

func (t *tally) add(rank, code string, what message.Text, ev *motion.Event) {
	key := tallyKey{code, what.String()}
	if i, ok := t.known[key]; ok {
		t.list[i].count++
		return
	}
	if t.known == nil {
		t.known, t.kinds, t.more = map[tallyKey]int{}, map[string]int{}, map[string]int{}
	}
	if t.kinds[code] == runlog.MaxListed {
		t.more[code]++
		return
	}
	t.kinds[code]++
	t.known[key] = len(t.list)
	t.list = append(t.list, tallied{rank: rank, code: code, what: what, count: 1, line: ev.Line, text: string(ev.Text[:min(len(ev.Text), 60)])})
}

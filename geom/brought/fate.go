package brought

import (
	"strconv"
	"strings"
)

// fate is what becomes of a word that moves nothing, amid a brought file's print.
type fate uint8

const (
	passes  fate = iota // heat, fan, message, pause, dwell
	leftOut             // no harm is known of it; what it does is the firmware's matter
	stops               // it could harm the print or the machine: no motion is written
)

// M words of printing firmware, from memory, common practice, no source. What
// stands in no list is left out.
var (
	passing = mSet(
		104, 109, 140, 190, 141, 191, 116, // heat
		106, 107, // fan
		117, 118, // message
		0, 1, 25, 125, 226, 600, 601, // pause
		400, // dwell until all moves are made
	)
	stopping = mSet(
		2, 30, 18, 84, // end of the program, motors off
		3, 4, 5, 6, 60, // spindle, tool change, pallet
		23, 24, 28, 29, 32, 33, // files of the machine
		98, 99, 808, 810, 811, 812, 813, 814, 815, 816, 817, 818, 819, // macros
		42, 43, 280, 281, 282, // pins, servos
		48, 401, 402, 558, 557, 585, 851, 871, // probes
		80, 81, 112, 410, 997, 999, 501, 502, 504, 505, 575, // power, stop, reset
		92, 208, 211, 350, 351, 564, 569, 579, 584, // steps, bounds, drives
		206, 218, 290, 374, 375, 376, 420, 421, 425, 428, 556, 561, 563, 605, // places that are shifted
		665, 666, 667, 669, 671, 852, // kinematics
		301, 302, 303, 304, 306, 307, // tuning of heaters, cold extrusion
		701, 702, 703, // filament changes
	)
)

func mSet(codes ...int) map[int]bool {
	set := map[int]bool{}
	for _, c := range codes {
		set[c] = true
	}
	return set
}

// freeText are the M words whose line goes on with a text for people.
var freeText = mSet(117, 118, 0, 1)

// fateOf tells the worst fate of a line's words.
func fateOf(line string) fate {
	text := strings.Join(strings.Fields(strings.ToUpper(line)), "")
	if freeText[mCode(strings.TrimSpace(line))] {
		return passes
	}
	worst := passes
	for i := 0; i < len(text); i++ {
		c := text[i]
		if i > 0 && c != 'M' && c != 'G' && c != 'T' {
			continue
		}
		end := i + 1
		for end < len(text) && text[end] >= '0' && text[end] <= '9' {
			end++
		}
		n, err := strconv.Atoi(text[i+1 : end])
		whole := err == nil && (end == len(text) || text[end] != '.')
		switch {
		case c == 'M' && whole && passing[n], c == 'G' && whole && n == 4:
		case c == 'M' && whole && stopping[n]:
			return stops
		case c == 'T' && i > 0: // which heater
		default:
			worst = leftOut
		}
	}
	return worst
}

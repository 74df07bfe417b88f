package motion

// role tells what a G word is to the reader.
type role uint8

const (
	roleUnknown role = iota // could move the machine: a Problem
	roleNone                // known not to move anything
	roleMode                // changes how later words are read
	roleMotion
	roleHome    // homes, probes or parks: the place afterwards is unknown
	roleSet     // G92 and its kin
	roleDwell   // G4
	roleRetract // G10, G11
	roleCanned  // G80
)

// code says what a G word (x 10) is, and its modal group: NISTIR 6556, table
// 4; group 0 holds what acts in its own line only. Words of printing firmware
// that RS-274 doesn't know are common practice, no source.
func code(g int16) (role, uint8) {
	switch g {
	case 0, 10, 20, 30:
		return roleMotion, 1
	case 800:
		return roleCanned, 1
	case 170, 180, 190:
		return roleMode, 2
	case 900, 910:
		return roleMode, 3
	case 901, 911:
		return roleMode, 4
	case 930, 940:
		return roleMode, 5
	case 200, 210:
		return roleMode, 6
	case 150, 400: // polar off; cutter compensation off
		return roleNone, 7
	case 490: // tool length offset off
		return roleNone, 8
	case 980, 990: // return level of canned cycles
		return roleNone, 10
	case 540: // the coordinate system that a file begins with; the others shift
		return roleNone, 12
	case 610, 611, 640: // path control
		return roleNone, 13
	case 690, 500: // turning and scaling off
		return roleNone, 16
	case 40:
		return roleDwell, 0
	case 100, 110:
		return roleRetract, 0
	case 280, 281, 300, 301, 290, 291, 292, 310, 320, 321, 322, 330, 340, 350, 360,
		380, 382, 383, 384, 385, 270, 120:
		return roleHome, 0
	case 920, 921, 922, 923:
		return roleSet, 0
	}
	return roleUnknown, 0
}

// Motion words x 10, as kept between lines.
const (
	g0  = 0
	g1  = 10
	g2  = 20
	g3  = 30
	g80 = 800
	// gNone: no motion word has been said yet.
	gNone = -1
)

// takesText reports M words whose line goes on with free text or a file's name,
// where a G isn't a word.
func takesText(m int16) bool {
	switch m {
	case 0, 10, 230, 280, 300, 320, 360, 980, 1170, 1180, 1630, 2910, 2920, 4860, 5500,
		5510, 5520, 5530, 5540, 5870, 5880, 5890, 8160, 9280, 9290:
		return true
	}
	return false
}

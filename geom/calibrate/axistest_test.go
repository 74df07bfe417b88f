package calibrate

import (
	"strconv"
	"strings"
	"testing"

	"conewright/geom/describe"
	"conewright/geom/machine"
)

// The file of each kind never heats or extrudes, moves one axis a line, moves every
// axis away and back, and says what should be seen.
func TestAnAxisTestMovesOneAxisAtATimeColdAndClear(t *testing.T) {
	for _, name := range machine.BuiltinNames() {
		card, _ := machine.Builtin(name)
		data, err := AxisTest(card)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		k := machine.NewKinematics(card)
		at, moved, raised := k.Words(k.Tip(machine.Words{Turn: k.Home()}), k.Home()), map[string]int{}, false
		for _, line := range strings.Split(string(data), "\n") {
			words := strings.Fields(line)
			if len(words) == 0 || words[0][0] == ';' || words[0] == "M117" {
				continue
			}
			switch words[0] {
			case "G21", "G90", "G94", "G28", "M107", "G4":
			case "M104", "M140":
				if words[1] != "S0" {
					t.Errorf("%s heats: %s", name, line)
				}
			case "G1":
				if len(words) != 3 || words[2][0] != 'F' || words[1][0] == 'E' {
					t.Errorf("%s: not one axis: %s", name, line)
				}
				v, err := strconv.ParseFloat(words[1][1:], 64)
				if err != nil {
					t.Fatal(err)
				}
				letter := words[1][:1]
				moved[letter]++
				if !raised && letter != "Z" && moved["Z"] == 0 {
					t.Errorf("%s: %s before it was raised", name, line)
				}
				for _, m := range describe.Moves(card) {
					if m.Letter == letter {
						switch m.Linear {
						case 0:
							at.X = v
						case 1:
							at.Y = v
						case 2:
							at.Z = v
						default:
							at.Turn[m.Turn] = v
						}
					}
				}
				if moved["X"] > 0 && moved["Y"] > 0 && moved["Z"] > 0 && len(moved) == len(describe.Moves(card)) {
					raised = true
					if z := k.Tip(at).Z; z < testClear { // in the part's frame
						t.Errorf("%s: the tip is at %g: %s", name, z, line)
					}
				}
			default:
				t.Errorf("%s: %s", name, line)
			}
		}
		for _, m := range describe.Moves(card) {
			if moved[m.Letter] < 3 || !strings.Contains(string(data), "M117 "+m.Letter) {
				t.Errorf("%s: %s isn't tried", name, m.Letter)
			}
			if seen[describe.Seen(card, m)] == "" {
				t.Errorf("%s: nothing is said of %s", name, m.Letter)
			}
		}
	}
}

// A card without room is refused, and the reason tells what lacks.
func TestAnAxisTestIsRefusedWithoutRoom(t *testing.T) {
	low, _ := machine.Builtin("straight")
	low.Travel.Z[1] = 45
	if _, err := AxisTest(low); err == nil || !strings.Contains(err.Error(), "travel") {
		t.Errorf("45 mm of height: %v", err)
	}
	walled, _ := machine.Builtin("swivel-45")
	walled.Obstacles = []machine.Box{{Min: [3]float64{50, 50, 0}, Max: [3]float64{200, 160, 190}}}
	if _, err := AxisTest(walled); err == nil || !strings.Contains(err.Error(), "obstacles") {
		t.Errorf("a frame in the middle: %v", err)
	}
}

package motion

import (
	"math"

	"conewright/geom/message"
)

// execute carries out the block that stands in r.b, in the order of NISTIR
// 6556, 3.8: feed mode, feed, tool, M words, dwell, plane, units, distance
// mode, homing and offsets, motion. s is the line, for messages.
func (r *reader) execute(s []byte) error {
	b := &r.b
	if b.ng == 1 && b.nm == 0 && b.has&letterT == 0 && (b.g[0] == g1 || b.g[0] == g0) { // the bulk of every file
		r.motion = b.g[0]
		r.setFeed()
		return r.straight(s)
	}
	p, why := b.plan()
	if why != "" {
		return r.problem(s, why)
	}
	r.setFeedMode(p)
	r.setFeed()
	if err := r.others(s, p); err != nil {
		return err
	}
	r.modes(p)
	var err error
	if p.acting != 0 {
		err = r.act(s, p)
	} else {
		err = r.move(s, p)
	}
	if err != nil {
		return err
	}
	return r.stops(s)
}

// plan is a block's G words sorted by their modal groups.
type plan struct {
	b      *block
	motion int16 // gNone: none in this block
	acting int16 // the word of group 0 but dwell: G10, G11, G28, G92...; 0: none
	dwell  bool
}

func (p *plan) has(g int16) bool {
	for _, have := range p.b.g[:p.b.ng] {
		if have == g {
			return true
		}
	}
	return false
}

// sets reports an M82 or M83 in the block.
func (p *plan) sets() bool {
	for _, m := range p.b.m[:p.b.nm] {
		if m == 820 || m == 830 {
			return true
		}
	}
	return false
}

func (b *block) plan() (p plan, why string) {
	p = plan{b: b, motion: gNone}
	var groups uint32
	for _, g := range b.g[:b.ng] {
		role, group := code(g)
		switch {
		case role == roleUnknown:
			return p, whyUnknown
		case groups&(1<<group) != 0:
			return p, whyGroup
		}
		groups |= 1 << group
		switch role {
		case roleMotion, roleCanned:
			p.motion = g
		case roleDwell:
			p.dwell = true
		case roleHome, roleSet, roleRetract:
			p.acting = g
		}
	}
	if p.acting != 0 && p.motion != gNone && p.motion != g80 && b.has&(lettersXYZ|letterE) != 0 {
		return p, "two words of the line use its axis letters"
	}
	return p, ""
}

func (r *reader) setFeedMode(p plan) {
	if inverse := p.has(930); inverse || p.has(940) && r.inverse {
		r.inverse, r.feed = inverse, 0
	}
}

func (r *reader) setFeed() {
	switch {
	case r.b.has&letterF == 0 || r.b.bare&letterF != 0:
	case r.inverse:
		r.feed = r.b.val('f')
	default:
		r.feed = r.b.val('f') * r.unit
	}
}

// others handles what moves nothing: tool, M words, dwell.
func (r *reader) others(s []byte, p plan) error {
	b := &r.b
	if b.has&letterT != 0 {
		if err := r.toolWord(s); err != nil {
			return err
		}
	}
	for _, m := range b.m[:b.nm] {
		var err error
		switch {
		case m == 820, m == 830:
			r.eRelative, r.eSaid, r.eDoubt = m == 830, int8(m/10), false
		case m == 1100: // the line counter of a serial line
		case m == 2000:
			err = r.volumetric(s)
		case !stops(m):
			err = r.event(Word, r.wordText(s, 'M', m), "")
		}
		if err != nil {
			return err
		}
	}
	switch {
	case p.dwell:
		return r.event(Word, r.wordText(s, 'G', 40), "")
	case b.ng == 0 && b.nm == 0 && b.has != 0 && b.has&^lettersS == 0: // a spindle speed alone
		return r.event(Word, s, "")
	}
	return nil
}

// stops reports M words that act after the motion of their block.
func stops(m int16) bool { return m == 0 || m == 10 || m == 20 || m == 300 || m == 600 }

func (r *reader) stops(s []byte) error {
	for _, m := range r.b.m[:r.b.nm] {
		if stops(m) {
			if err := r.event(Word, r.wordText(s, 'M', m), ""); err != nil {
				return err
			}
		}
	}
	return nil
}

// wordText returns the line of an M word or a dwell; where the line holds more,
// the word with its P and S alone, so that nobody passes a motion on twice.
func (r *reader) wordText(s []byte, letter byte, code int16) []byte {
	b := &r.b
	if b.ng+b.nm == 1 && b.has&(lettersXYZ|letterE|letterT) == 0 {
		return s
	}
	out := AppendNumber(append(r.scratch[:0], letter), float64(code)/10, 1)
	for _, l := range [...]byte{'p', 's'} {
		if b.has&bit(l) != 0 {
			out = AppendWord(out, l-0x20, b.val(l), 6)
		}
	}
	r.scratch = out
	return out
}

// toolWord: choosing a tool before the first bead is no change, nor is naming
// the one that is in use.
func (r *reader) toolWord(s []byte) error {
	t := r.b.val('t')
	same := t == r.tool || math.IsNaN(r.tool) && t == 0
	if r.laid && !same || r.b.bare&letterT != 0 {
		return r.problem(s, "a tool change")
	}
	r.tool = t
	if r.b.ng+r.b.nm > 0 {
		r.scratch = AppendNumber(append(r.scratch[:0], 'T'), t, 0)
		s = r.scratch
	}
	return r.event(Word, s, "")
}

// volumetric handles M200: with a diameter, E counts mm3 from here on. The
// events go on in mm of filament.
func (r *reader) volumetric(s []byte) error {
	d := r.b.val('d') * r.unit
	on := r.b.has&bit('d') != 0 && d > 0
	if r.b.has&bit('s') != 0 && r.b.val('s') == 0 {
		on = false
	} else if r.b.has&bit('s') != 0 && r.b.has&bit('d') == 0 {
		return r.problem(s, "M200 without the filament's diameter")
	}
	r.area = 0
	if on {
		r.area, r.diameter = math.Pi/4*d*d, d
		r.st.Volumetric = true
		return r.notice(s, CodeVolumetric, message.New("E counts mm3; it was turned into mm of filament"))
	}
	return nil
}

// modes sets plane, units and distance modes.
func (r *reader) modes(p plan) {
	for _, g := range p.b.g[:p.b.ng] {
		switch g {
		case 170:
			r.plane = [3]int{0, 1, 2}
		case 180:
			r.plane = [3]int{2, 0, 1}
		case 190:
			r.plane = [3]int{1, 2, 0}
		case 200:
			r.unit = 25.4
		case 210:
			r.unit = 1
		case 900, 910:
			// Firmwares differ in whether this holds for E. G91 does in most,
			// and G90 then takes it back, but never an M83.
			// In one block with it, M82 or M83 has the last word.
			r.relative = g == 910
			if p.sets() {
				continue
			}
			r.eRelative = r.relative || r.eSaid == 83
			r.eDoubt = r.relative && r.eSaid != 83 || !r.relative && r.eSaid == 83
		case 901, 911:
			r.centreAbsolute = g == 901
		}
	}
}

// act carries out a word of group 0.
func (r *reader) act(s []byte, p plan) error {
	b := &r.b
	switch p.acting {
	case 100, 110:
		return r.retract(s, p.acting)
	case 920, 921, 922, 923:
		return r.rename(s, p.acting)
	}
	axes := b.axes()
	if axes == 0 || p.acting != 280 {
		axes = AllAxes
	}
	for k := range r.pos {
		if axes&(1<<k) != 0 {
			r.pos[k], r.off[k] = 0, 0 // a guess; homing takes offsets off (printing practice)
		}
	}
	r.known &^= axes
	return r.event(Home, s, "")
}

// retract handles G10 and G11. G10 with L sets coordinate systems in RS-274,
// with P and temperatures a tool's in some firmwares.
func (r *reader) retract(s []byte, g int16) error {
	b := &r.b
	switch {
	case b.has&(1<<('l'-'a')|lettersXYZ) != 0:
		return r.problem(s, "a G10 or G11 that isn't a retraction")
	case g == 100 && b.has&letterP != 0:
		return r.event(Word, s, "")
	}
	if g == 100 {
		return r.event(Retract, s, "")
	}
	return r.event(Unretract, s, "")
}

func (b *block) axes() Axes {
	return Axes(b.has >> ('x' - 'a') & 7)
}

// rename handles G92 (NISTIR 6556, 3.5.18): the place stays, its name changes.
// A place that isn't known yet is what the word says.
func (r *reader) rename(s []byte, g int16) error {
	b := &r.b
	switch g {
	case 921, 922:
		r.saved = r.off
		if g == 921 {
			r.saved = [3]float64{}
		}
		r.off = [3]float64{}
		return nil
	case 923:
		r.off = r.saved
		return nil
	}
	others := b.has & (lettersABC | lettersUVW)
	switch {
	case others&r.swivelBit() != 0:
		return r.problem(s, "G92 of the swivel")
	case b.has&(lettersXYZ|letterE) == 0 && others == 0, b.bare&(lettersXYZ|letterE) != 0:
		return r.problem(s, "G92 without a number for its axis")
	}
	for k := range r.pos {
		a := Axes(1) << k
		if b.axes()&a == 0 {
			continue
		}
		w := b.v['x'-'a'+k] * r.unit
		if r.known&a == 0 {
			r.pos[k], r.known = w+r.off[k], r.known|a
		}
		r.off[k] = r.pos[k] - w
	}
	if b.has&letterE != 0 {
		r.e = b.val('e') * r.eUnit()
	}
	return nil
}

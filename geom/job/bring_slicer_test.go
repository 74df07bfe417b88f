package job

// bring_slicer_test.go is a little planar generator for tests: it slices a mesh
// into level layers and says them in a dialect. It is written apart from
// geom/planner, geom/section and geom/register and shares nothing with them, so
// that they can't share a fault. It knows where its own start and end are.

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/mesh"
)

// dialect is how a slicer speaks. The zero value is plain: mm, absolute E, no
// comments.
type dialect struct {
	name                      string
	relativeE, inches, arcs   bool
	numbers, dense, modal     bool
	crlf, bom, cutShort       bool // cutShort: no end of line after the last line
	comments                  string
	hop                       float64
	relativeHop, firmware     bool
	wipe, resets, extraReturn bool
	skirts, brim, raft        int
	walls                     int
	fill                      float64
	cut                       float64 // beads are cut about as fine; 0: not at all
	first                     float64 // thickness of the first layer; 0: as the others
	g92xy                     bool    // renames x and y halfway
	spiral                    bool    // from the fourth layer on a lone wall rises all the way round
	start, end                []string
	words                     bool // unknown M words, fan and progress between layers
}

// sliced is a file and the truth about it.
type sliced struct {
	text       []byte
	start, end []string // as written, without numbers, checksums and comments
	filament   float64  // of beads of the part, mm
	lift       float64  // height of the raft, mm
	off        int      // skirts' and brims' beads, arcs as one
	inner      []string // fan words between the part's beads
	waiting    []string // M words since its last bead
}

// writer writes a file in a dialect.
type writer struct {
	d       dialect
	b       bytes.Buffer
	n       int
	x, y, z float64 // true place
	ox, oy  float64 // what G92 moved the names by
	e       float64 // as counted by the machine, mm
	pending float64 // rounding of relative E
	last    string
	out     sliced
	log     *[]string
	part    bool
}

func (w *writer) say(words string) {
	if w.log != nil && words != "" {
		*w.log = append(*w.log, w.styled(words))
	}
	line := w.styled(words)
	if w.d.numbers && line != "" {
		w.n++
		line = fmt.Sprintf("N%d %s", w.n, line)
		sum := byte(0)
		for i := range len(line) {
			sum ^= line[i]
		}
		line += fmt.Sprintf("*%d", sum)
	}
	switch {
	case w.d.comments == ";" && w.n%3 == 0 && !w.d.numbers:
		line += " ; a remark (of no use)"
	case w.d.comments == "(" && strings.HasPrefix(words, "G1"):
		line = "(a remark) " + line
	}
	w.end(line)
}

func (w *writer) end(line string) {
	w.b.WriteString(line)
	if w.d.crlf {
		w.b.WriteByte('\r')
	}
	w.b.WriteByte('\n')
}

func (w *writer) styled(words string) string {
	if w.d.dense && !strings.HasPrefix(words, "M117") {
		words = strings.ToLower(strings.ReplaceAll(words, " ", ""))
	}
	return words
}

func (w *writer) u(mm float64) float64 {
	if w.d.inches {
		return mm / 25.4
	}
	return mm
}

func (w *writer) num(mm float64) string {
	if w.d.inches {
		return fmt.Sprintf("%.5f", w.u(mm))
	}
	s := fmt.Sprintf("%.3f", mm)
	if w.d.dense {
		s = strings.TrimPrefix(strings.TrimRight(strings.TrimRight(s, "0"), "."), "0")
		if s == "" || s == "-" {
			s = "0"
		}
	}
	return s
}

// push returns the E word for de mm, and counts it.
func (w *writer) push(de float64) string {
	digits := 1e5
	if w.d.relativeE {
		v := math.Round(w.u(de+w.pending)*digits) / digits
		said := v
		if w.d.inches {
			said *= 25.4
		}
		w.pending += de - said
		w.count(said)
		return fmt.Sprintf(" E%.5f", v)
	}
	before := math.Round(w.u(w.e)*digits) / digits
	w.e += de
	after := math.Round(w.u(w.e)*digits) / digits
	said := after - before
	if w.d.inches {
		said *= 25.4
	}
	w.count(said)
	return fmt.Sprintf(" E%.5f", after)
}

func (w *writer) count(said float64) {
	if w.part {
		w.out.filament += said
		w.out.inner, w.out.waiting = append(w.out.inner, w.out.waiting...), w.out.waiting[:0]
	}
}

func (w *writer) code(c string) string {
	if w.d.modal && w.last == c {
		return ""
	}
	w.last = c
	return c
}

// to says a move to a place; rest holds its other words.
func (w *writer) to(code string, x, y, z float64, rest string) {
	s := w.code(code)
	s += " X" + w.num(x-w.ox) + " Y" + w.num(y-w.oy)
	if z != w.z {
		s += " Z" + w.num(z)
	}
	w.x, w.y, w.z = x, y, z
	w.say(strings.TrimSpace(s + rest))
}

func (w *writer) retract(on bool) {
	length := 0.8
	if !on && w.d.extraReturn {
		length = 0.803
	}
	part := w.part
	w.part = false
	defer func() { w.part = part }()
	switch {
	case w.d.firmware && on:
		w.say("G10")
	case w.d.firmware:
		w.say("G11")
	case on:
		w.say(strings.TrimSpace(w.code("G1") + w.push(-length) + " F" + w.num(2400)))
	default:
		w.say(strings.TrimSpace(w.code("G1") + w.push(length) + " F" + w.num(2400)))
	}
}

func (w *writer) travel(x, y, z float64) {
	if math.Hypot(x-w.x, y-w.y) < 0.05 && z == w.z {
		return
	}
	w.retract(true)
	if h := w.d.hop; h > 0 {
		if w.d.relativeHop {
			w.say("G91")
			w.say(strings.TrimSpace(w.code("G1") + " Z" + w.num(h)))
			w.say("G90")
			w.say(map[bool]string{true: "M83", false: "M82"}[w.d.relativeE])
			w.z += h
		} else {
			w.z += h
			w.say(strings.TrimSpace(w.code("G0") + " Z" + w.num(w.z)))
		}
		w.to("G0", x, y, math.Max(w.z, z), " F"+w.num(9000))
		w.z = z
		w.say(strings.TrimSpace(w.code("G0") + " Z" + w.num(z)))
	} else {
		w.to("G0", x, y, z, " F"+w.num(9000))
	}
	w.retract(false)
}

func (w *writer) bead(x, y, perMM float64) {
	l := math.Hypot(x-w.x, y-w.y)
	if l < 0.01 {
		return
	}
	n := 1.0
	if w.d.cut > 0 {
		n = math.Ceil(l / w.d.cut)
	}
	for dx, dy, i := (x-w.x)/n, (y-w.y)/n, n; i > 0; i-- {
		if !w.part {
			w.out.off++
		}
		feed := " F" + w.num(1800)
		if i < n {
			feed = ""
		}
		w.to("G1", x-(i-1)*dx, y-(i-1)*dy, w.z, w.push(l/n*perMM)+feed)
	}
}

// loop lays a closed polygon; a ring of corners on one circle as two arcs where
// the dialect has them.
func (w *writer) loop(p []r2.Vec, z, perMM float64) {
	w.travel(p[0].X, p[0].Y, z)
	if c, r, ok := circleOf(p); ok && w.d.arcs {
		half := len(p) / 2
		for _, q := range []r2.Vec{p[half], p[0]} {
			code, turn := "G3", math.Atan2(q.Y-c.Y, q.X-c.X)-math.Atan2(w.y-c.Y, w.x-c.X)
			if area(p) < 0 {
				code, turn = "G2", -turn
			}
			for turn <= 0 {
				turn += 2 * math.Pi
			}
			if !w.part {
				w.out.off++
			}
			ij := " I" + w.num(c.X-w.x) + " J" + w.num(c.Y-w.y)
			w.to(code, q.X, q.Y, z, ij+w.push(turn*r*perMM)+" F"+w.num(1800))
		}
	} else {
		for i := range p {
			q := p[(i+1)%len(p)]
			w.bead(q.X, q.Y, perMM)
		}
	}
	if w.d.wipe {
		part := w.part
		w.part = false
		d := r2.Sub(p[1], p[0])
		d = r2.Scale(math.Min(1, 0.6/r2.Norm(d)), d)
		w.to("G1", w.x+d.X, w.y+d.Y, z, w.push(-0.15))
		w.say(strings.TrimSpace(w.code("G1") + w.push(0.15)))
		w.part = part
	}
}

func circleOf(p []r2.Vec) (c r2.Vec, r float64, ok bool) {
	if len(p) < 24 {
		return c, 0, false
	}
	for _, v := range p {
		c = r2.Add(c, r2.Scale(1/float64(len(p)), v))
	}
	r = r2.Norm(r2.Sub(p[0], c))
	for _, v := range p {
		if math.Abs(r2.Norm(r2.Sub(v, c))-r) > 0.002 {
			return c, r, false
		}
	}
	return c, r, true
}

func area(p []r2.Vec) float64 {
	s := 0.0
	for i := range p {
		s += r2.Cross(p[i], p[(i+1)%len(p)]) / 2
	}
	return s
}

// slice makes a file of a mesh, moved by shift, in layers of height h with lines
// of the given width.
func (d dialect) slice(m *mesh.Mesh, h, width float64, shift r2.Vec) sliced {
	w := &writer{d: d, last: "?"}
	if d.bom {
		w.b.WriteString("\xef\xbb\xbf")
	}
	w.end("; made by nobody, who says nothing of use here")
	w.template(d.start, &w.out.start)
	perMM := ((width-h)*h + math.Pi*h*h/4) / (math.Pi / 4 * 1.75 * 1.75)
	top := m.Bounds().Max.Z
	thick := h
	if d.first > 0 {
		thick = d.first
	}
	w.raft(moved(linkedCuts(m, thick/2), shift))
	for k, bottom := 0, 0.0; bottom+thick/2 < top; k++ {
		z := bottom + thick + w.out.lift
		p := moved(linkedCuts(m, bottom+thick/2), shift)
		bottom, thick = bottom+thick, h
		if k == 0 {
			perFirst := perMM * (bottom / h)
			for i := d.skirts; i > 0; i-- {
				for _, q := range outermost(offset(p, 4+float64(i)*width)) {
					w.loop(q, z, perFirst)
				}
			}
			for i := d.brim; i > 0; i-- {
				for _, q := range outermost(offset(p, (float64(i)-0.5)*width)) {
					w.loop(q, z, perFirst)
				}
			}
		}
		if d.comments == ";" {
			w.end(fmt.Sprintf(";LEVEL %d", k))
		}
		w.between(k)
		flow := perMM
		if k == 0 {
			flow = perMM * (bottom / h)
		}
		w.layer(p, z, width, flow, k)
	}
	w.retract(true)
	w.template(d.end, &w.out.end)
	w.out.text = w.b.Bytes()
	if d.cutShort {
		w.out.text = bytes.TrimRight(w.out.text, "\r\n")
	}
	return w.out
}

// turn lays a closed polygon that rises to z from where the last turn ended.
func (w *writer) turn(p []r2.Vec, z, perMM float64) {
	first, around := 0, 0.0
	for i := range p {
		if math.Hypot(p[i].X-w.x, p[i].Y-w.y) < math.Hypot(p[first].X-w.x, p[first].Y-w.y) {
			first = i
		}
		around += r2.Norm(r2.Sub(p[(i+1)%len(p)], p[i]))
	}
	if math.Hypot(p[first].X-w.x, p[first].Y-w.y) > 1 {
		w.travel(p[first].X, p[first].Y, w.z)
	}
	from, way := w.z, 0.0
	for i := range p {
		q := p[(first+i+1)%len(p)]
		way += r2.Norm(r2.Sub(q, p[(first+i)%len(p)]))
		l := math.Hypot(q.X-w.x, q.Y-w.y)
		if l < 0.01 {
			continue
		}
		w.to("G1", q.X, q.Y, from+(z-from)*way/around, w.push(l*perMM)+" F"+w.num(1800))
	}
}

// raft lays lines under and round the first layer.
func (w *writer) raft(p [][]r2.Vec) {
	for k := range w.d.raft {
		w.out.lift += 0.25
		for _, l := range hatch(offset(p, 5), 1.2, k%2 == 0) {
			w.travel(l[0].X, l[0].Y, w.out.lift)
			w.bead(l[1].X, l[1].Y, 0.06)
		}
	}
	if w.d.raft > 0 {
		w.out.lift += 0.12
	}
}

// template writes lines of the user's own and follows the few moves that matter.
func (w *writer) template(lines []string, log *[]string) {
	w.log = log
	for _, l := range lines {
		w.say(l)
		w.last = "?"
	}
	w.log = nil
	if log == &w.out.start {
		w.x, w.y, w.z = -99, -99, 2
		w.e = 0
	}
}

func (w *writer) between(k int) {
	if w.d.resets && !w.d.relativeE {
		w.say("G92 E0")
		w.e = 0
	}
	if w.d.g92xy && k == 20 {
		w.say("G92 X" + w.num(w.x-w.ox-7) + " Y" + w.num(w.y-w.oy+3))
		w.ox, w.oy = w.ox+7, w.oy-3
	}
	if w.d.words && k > 0 {
		for _, l := range []string{fmt.Sprintf("M106 S%d", 40+k%200), fmt.Sprintf("M73 P%d", k), fmt.Sprintf("M9999 Q%d", k)} {
			w.say(l)
			if strings.HasPrefix(l, "M106") && (w.out.filament > 0 || w.out.off > 0) { // else it belongs to the start
				w.out.waiting = append(w.out.waiting, w.styled(l))
			}
		}
	}
}

func (w *writer) layer(p [][]r2.Vec, z, width, perMM float64, k int) {
	w.part = true
	defer func() { w.part = false }()
	if wall := offset(p, -0.5*width); w.d.spiral && k > 2 && len(wall) == 1 {
		w.turn(wall[0], z, perMM)
		return
	}
	for i := w.d.walls - 1; i >= 0; i-- {
		for _, q := range offset(p, -(float64(i)+0.5)*width) {
			w.loop(q, z, perMM)
		}
	}
	if w.d.fill <= 0 {
		return
	}
	for _, l := range hatch(offset(p, -(float64(w.d.walls)+0.2)*width), width/w.d.fill, k%2 == 1) {
		w.travel(l[0].X, l[0].Y, z)
		w.bead(l[1].X, l[1].Y, perMM)
	}
}

package planner

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/motion"
)

// Write writes the motion as plain RS-274 words: millimetres, absolute, E
// absolute. E words are the rounded running total, so no rounding adds up. Beads of
// support stand between motion.SupportLine and motion.PartLine.
func (m *Motion) Write(w io.Writer) error {
	p := &pen{out: bufio.NewWriterSize(w, 1<<16), o: &m.Options, z: math.NaN()}
	p.line("G21")
	p.line("G90")
	p.line("M82")
	p.line("G92 E0")
	for i := range m.Layers {
		l := &m.Layers[i]
		p.region = l.Region
		p.beadSpeed = m.beadSpeed(l)
		if l.Support {
			p.line(motion.SupportLine)
		}
		for j := range l.Beads {
			p.travel(l.Beads[j].Path[0], l.Z)
			p.bead(&l.Beads[j])
		}
		if l.Support {
			p.line(motion.PartLine)
		}
	}
	if err := p.out.Flush(); err != nil {
		return fmt.Errorf("planner: writing planar motion: %w", err)
	}
	return nil
}

// pen writes words and knows where the nozzle is. bufio keeps the first write
// error until Flush.
type pen struct {
	out *bufio.Writer
	buf []byte
	o   *Options

	region    Region  // of this layer
	beadSpeed float64 // of this layer, mm/s

	last *Bead // laid just now; nil before the first
	at   r2.Vec
	z    float64 // NaN before the first move
	e    float64 // filament so far
	feed float64 // last F, mm/min
}

func (p *pen) line(s string) {
	p.out.WriteString(s)
	p.out.WriteByte('\n')
}

// word appends a letter and a number.
func (p *pen) word(letter byte, v float64, decimals int) {
	if len(p.buf) > 0 {
		p.buf = append(p.buf, ' ')
	}
	scale := math.Pow10(decimals)
	v = math.Round(v*scale)/scale + 0 // + 0 turns -0 into 0
	p.buf = append(p.buf, letter)
	p.buf = strconv.AppendFloat(p.buf, v, 'f', decimals, 64)
}

func (p *pen) end() {
	p.buf = append(p.buf, '\n')
	p.out.Write(p.buf)
	p.buf = p.buf[:0]
}

// speed appends F where it changes; speed in mm/s.
func (p *pen) speed(speed float64) {
	if f := speed * 60; f != p.feed {
		p.word('F', f, 1)
		p.feed = f
	}
}

// freeTravel is how far a travel inside the region may go without a
// retraction, mm (common practice, no source).
const freeTravel = 3

// travel goes to the start of a bead on height z. A new layer's height is
// taken before going sideways.
func (p *pen) travel(to r2.Vec, z float64) {
	far := r2.Norm(r2.Sub(to, p.at))
	if z == p.z && far < 5e-4 {
		return // beads that follow each other
	}
	first := math.IsNaN(p.z)
	retract := !first && (far > freeTravel || p.region.CrossedBy(p.at, to))
	lift := 0.0
	if retract || first {
		lift = p.o.Retract.Lift
	}
	if retract {
		p.drawBack()
	}
	if z+lift != p.z {
		p.height(z + lift)
	}
	p.sideways(to)
	if lift > 0 {
		p.height(z)
	}
	if retract {
		p.filament(p.o.Retract.Length)
	}
}

func (p *pen) height(z float64) {
	p.buf = append(p.buf, "G1"...)
	p.word('Z', z, 3)
	p.speed(p.o.TravelSpeed)
	p.end()
	p.z = z
}

func (p *pen) sideways(to r2.Vec) {
	p.buf = append(p.buf, "G1"...)
	p.word('X', to.X, 3)
	p.word('Y', to.Y, 3)
	p.speed(p.o.TravelSpeed)
	p.end()
	p.at = to
}

// filament moves E alone: a retraction or its return.
func (p *pen) filament(length float64) {
	if length == 0 {
		return
	}
	p.e += length
	p.buf = append(p.buf, "G1"...)
	p.word('E', p.e, 5)
	p.speed(p.o.Retract.Speed)
	p.end()
}

// drawBack draws filament back before a travel, at rest or while wiping: back
// along an open bead, once more along the start of a closed one.
func (p *pen) drawBack() {
	left, length := p.o.Wipe, p.o.Retract.Length
	if left == 0 || length == 0 || p.last == nil {
		p.filament(-length)
		return
	}
	drawn := 0.0
	for i := 1; i < p.last.points() && left > 0; i++ {
		to := p.last.point(i)
		if !p.last.Closed {
			to = p.last.point(p.last.points() - 1 - i)
		}
		step := r2.Norm(r2.Sub(to, p.at))
		if step > left {
			to = r2.Add(p.at, r2.Scale(left/step, r2.Sub(to, p.at)))
			step = left
		}
		left -= step
		share := length * step / p.o.Wipe
		drawn += share
		p.e -= share
		p.buf = append(p.buf, "G1"...)
		p.word('X', to.X, 3)
		p.word('Y', to.Y, 3)
		p.word('E', p.e, 5)
		// So slow that filament keeps to its own speed.
		p.speed(math.Min(p.o.TravelSpeed, p.o.Retract.Speed*p.o.Wipe/length))
		p.end()
		p.at = to
	}
	if rest := length - drawn; rest > 1e-9 { // the bead was shorter than the wipe
		p.filament(-rest)
	}
}

func (p *pen) bead(b *Bead) {
	for i := 1; i < b.points(); i++ {
		to := b.point(i)
		p.e += b.push(i, p.o)
		p.buf = append(p.buf, "G1"...)
		p.word('X', to.X, 3)
		p.word('Y', to.Y, 3)
		p.word('E', p.e, 5)
		p.speed(p.beadSpeed)
		p.end()
		p.at = to
	}
	p.last = b
}

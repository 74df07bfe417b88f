package hidden

import (
	"conewright/render/depth"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// walker parts one path after the other and keeps its store between them.
type walker struct {
	filter *Filter
	path   *Path
	run    []float64 // length of the path up to each point
	breaks []float64 // where the answer changes
	guess  int32     // what hid the last point that was hidden
}

// splitSeen parts what shows of a path in a window.
func (w *walker) splitSeen(f *Filter, p *Path, window *Window) Parts {
	if *window == (Window{}) || len(p.Points) < 2 {
		return w.split(f, p)
	}
	var parts Parts
	for _, run := range window.runs(p) {
		part := w.split(f, &run)
		parts.Visible = append(parts.Visible, part.Visible...)
		parts.Hidden = append(parts.Hidden, part.Hidden...)
	}
	return parts
}

// mostSamples bounds the samples on one path, whatever step is asked for.
const mostSamples = 1 << 20

func (w *walker) split(f *Filter, p *Path) Parts {
	w.filter, w.path = f, p
	if len(p.Points) < 2 {
		return Parts{}
	}
	total := w.measure()
	if !(total > 0) {
		return Parts{}
	}
	first := w.sample(total, f.step, f.precision)
	return w.collect(first, total)
}

func (w *walker) measure() float64 {
	w.run = append(w.run[:0], 0)
	sum := 0.0
	for i := 1; i < len(w.path.Points); i++ {
		sum += r3.Norm(r3.Sub(w.path.Points[i], w.path.Points[i-1]))
		w.run = append(w.run, sum)
	}
	return sum
}

// sample finds the places where the answer changes and returns the answer at
// the path's start. The ends themselves are corners, where many facets meet:
// samples keep off them.
func (w *walker) sample(total, step, precision float64) (first bool) {
	w.breaks = w.breaks[:0]
	precision = max(precision, total*1e-9)
	inset := min(precision, total/4)
	n := 1
	if step > 0 {
		n += int(min((total-2*inset)/step, mostSamples))
	}
	at, segment := inset, 0
	seen := w.looks(at, &segment)
	first = seen
	for i := 1; i <= n; i++ {
		next := inset + (total-2*inset)*float64(i)/float64(n)
		from := segment
		if now := w.looks(next, &segment); now != seen {
			w.breaks = append(w.breaks, w.change(at, next, from, seen, precision))
			seen = now
		}
		at = next
	}
	return first
}

// change halves the stretch from lo, where the answer is seen, to hi.
func (w *walker) change(lo, hi float64, segment int, seen bool, precision float64) float64 {
	for hi-lo > precision {
		mid := (lo + hi) / 2
		from := segment
		if w.sees(mid, &from) == seen {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// looks is sees for a sample, which the depths may settle without a ray.
func (w *walker) looks(at float64, segment *int) bool {
	f := w.filter
	switch {
	case f.depths == nil:
	case w.path.InFacets:
		return w.looksInFacet(at, segment)
	case f.loose && w.path.Normals != nil:
		return w.looksOnEdge(at, segment)
	}
	return w.sees(at, segment)
}

func (w *walker) looksInFacet(at float64, segment *int) bool {
	f := w.filter
	p := w.point(at, segment)
	normal := w.path.Normals[*segment]
	if f.closed && r3.Dot(normal, f.toward) < 0 {
		return false
	}
	switch f.depths.Ask(p, normal) {
	case depth.Seen:
		return true
	case depth.Hidden:
		return false
	}
	return f.sees(p, normal, &w.guess)
}

func (w *walker) looksOnEdge(at float64, segment *int) bool {
	f := w.filter
	p := w.point(at, segment)
	normal := w.path.Normals[*segment]
	switch f.depths.AskEdge(p, normal) {
	case depth.Seen:
		return !f.caster.MeetsAgain(f.lifted(p, normal), f.depths.OwnFolds(), &w.guess)
	case depth.Hidden:
		return false
	}
	return f.sees(p, normal, &w.guess)
}

// sees asks for the point at a length along the path; segment is one at or
// before it and moves on to it.
func (w *walker) sees(at float64, segment *int) bool {
	p := w.point(at, segment)
	var normal r3.Vec
	if w.path.Normals != nil {
		normal = w.path.Normals[*segment]
		if w.path.InFacets && w.filter.closed && r3.Dot(normal, w.filter.toward) < 0 {
			return false
		}
	}
	return w.filter.sees(p, normal, &w.guess)
}

func (w *walker) point(at float64, segment *int) r3.Vec {
	i := *segment
	for i < len(w.run)-2 && w.run[i+1] < at {
		i++
	}
	*segment = i
	a, b := w.path.Points[i], w.path.Points[i+1]
	length := w.run[i+1] - w.run[i]
	if length == 0 {
		return a
	}
	t := (at - w.run[i]) / length
	return r3.Add(a, r3.Scale(t, r3.Sub(b, a)))
}

// collect cuts the path at its breaks.
func (w *walker) collect(seen bool, total float64) Parts {
	var parts Parts
	from, segment := 0.0, 0
	for i := 0; i <= len(w.breaks); i++ {
		to := total
		if i < len(w.breaks) {
			to = w.breaks[i]
		}
		stretch := w.stretch(from, to, &segment)
		if seen {
			parts.Visible = append(parts.Visible, stretch)
		} else {
			parts.Hidden = append(parts.Hidden, stretch)
		}
		from, seen = to, !seen
	}
	return parts
}

func (w *walker) stretch(from, to float64, segment *int) ln.Path {
	start := w.point(from, segment)
	first := *segment + 1
	end := w.point(to, segment)
	path := make(ln.Path, 0, *segment-first+3)
	path = append(path, ln.Vector(start))
	for i := first; i <= *segment; i++ {
		path = append(path, ln.Vector(w.path.Points[i]))
	}
	return append(path, ln.Vector(end))
}

package field

import (
	"math"
	"sort"
)

// rise is how the lift grows with the distance r from a line: P(r), with
// P(0) = 0. It is either that of a cone or ridge,
// slope (sqrt(r^2 + round^2) - round), or, with spans, that of a profile.
type rise struct {
	slope, round float64 // slope: signed
	spans        []riseSpan
}

// riseSpan is P from the distance d on: lift + slope (r - d) + half (r - d)^2.
type riseSpan struct{ d, lift, slope, half float64 }

// newProfileRise returns P with P' linear between the knots' slopes, the last
// one's beyond.
func newProfileRise(distances, slopes []float64) *rise {
	p := &rise{}
	lift := 0.0
	for i, d := range distances {
		s := riseSpan{d: d, lift: lift, slope: slopes[i]}
		if i+1 < len(distances) {
			w := distances[i+1] - d
			s.half = (slopes[i+1] - slopes[i]) / w / 2
			lift += w * (slopes[i] + slopes[i+1]) / 2
		}
		p.spans = append(p.spans, s)
	}
	return p
}

func (p *rise) span(r float64) *riseSpan {
	i := sort.Search(len(p.spans), func(i int) bool { return p.spans[i].d > r }) - 1
	return &p.spans[max(i, 0)]
}

// at returns P(r) and its first two derivatives.
func (p *rise) at(r float64) (lift, slope, bend float64) {
	if p.spans != nil {
		s := p.span(r)
		w := r - s.d
		return s.lift + w*(s.slope+w*s.half), s.slope + 2*w*s.half, 2 * s.half
	}
	root := math.Sqrt(r*r + p.round*p.round)
	if root == 0 {
		return 0, p.slope, 0
	}
	return p.slope * (root - p.round), p.slope * r / root, p.slope * p.round * p.round / (root * root * root)
}

// sharp reports that P has a slope on the line itself: there the lift has a corner.
func (p *rise) sharp() bool {
	_, slope, _ := p.at(0)
	return slope != 0
}

// bounds returns, for distances from r0 >= 0 to r1: the least and the greatest
// of |P'|, and the greatest of |P”| and of |P'| / r.
func (p *rise) bounds(r0, r1 float64) (least, most, bend, turn float64) {
	look := func(slope, b, r float64) {
		least, most = math.Min(least, math.Abs(slope)), math.Max(most, math.Abs(slope))
		bend = math.Max(bend, math.Abs(b))
		switch {
		case r > 0:
			turn = math.Max(turn, math.Abs(slope)/r)
		case slope != 0:
			turn = math.Inf(1)
		default: // P' / r tends to P''
			turn = math.Max(turn, math.Abs(b))
		}
	}
	least = math.Inf(1)
	if p.spans == nil {
		for _, r := range [2]float64{r0, r1} {
			_, slope, b := p.at(r)
			look(slope, b, r)
		}
		if r0 == 0 && p.round == 0 { // the slope on the line is that on either side
			turn = math.Inf(1)
		}
		return least, most, bend, turn
	}
	for i := range p.spans {
		s, end := &p.spans[i], math.Inf(1)
		if i+1 < len(p.spans) {
			end = p.spans[i+1].d
		}
		from, to := math.Max(r0, s.d), math.Min(r1, end)
		if from > to {
			continue
		}
		a, b := s.slope, s.slope
		if s.half != 0 { // then the span has an end
			a, b = s.slope+2*s.half*(from-s.d), s.slope+2*s.half*(to-s.d)
		}
		look(a, 2*s.half, from)
		look(b, 2*s.half, to)
		if a*b < 0 {
			least = 0
		}
	}
	return least, most, bend, turn
}

// breaks returns the distances at which P is pieced together and those where its
// slope changes sign, beside 0.
func (p *rise) breaks() []float64 {
	var out []float64
	for i := range p.spans {
		s := &p.spans[i]
		if s.d > 0 {
			out = append(out, s.d)
		}
		if r, ok := p.turnsIn(i); ok {
			out = append(out, r)
		}
	}
	return out
}

// turnsIn returns where within a span the slope changes sign.
func (p *rise) turnsIn(i int) (r float64, ok bool) {
	s := &p.spans[i]
	if i+1 == len(p.spans) || s.half == 0 {
		return 0, false
	}
	r = s.d - s.slope/(2*s.half)
	return r, r > s.d && r < p.spans[i+1].d
}

// levelAt returns how far the distance r is from one where the slope vanishes.
func (p *rise) levelAt(r float64) float64 {
	least := math.Inf(1)
	for i := range p.spans {
		s := &p.spans[i]
		if t, ok := p.turnsIn(i); ok {
			least = math.Min(least, math.Abs(r-t))
		}
		if s.slope != 0 {
			continue
		}
		end := s.d
		if s.half == 0 { // level from here to the next knot, or without end
			end = math.Inf(1)
			if i+1 < len(p.spans) {
				end = p.spans[i+1].d
			}
		}
		least = math.Min(least, math.Max(0, math.Max(s.d-r, r-end)))
	}
	return least
}

package suggest

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/warp"
	"conewright/geom/zone"
)

// proof is what judging a zone exactly came to.
type proof struct {
	area   float64
	starts int
	at     r3.Vec // the first start
	shells int
	height float64 // of the warped zone, mm
}

// errSpent says that no more may be judged exactly.
var errSpent = errors.New("suggest: the budget of exact judgements is spent")

// proof returns what a choice was proven to be, or nil.
func (s *search) proof(c choice) *proof {
	if c.field < 0 {
		return s.towers[-1-c.field].proof
	}
	return s.proofs[c]
}

// prove judges a choice exactly, once.
func (s *search) prove(ctx context.Context, c choice) (*proof, error) {
	if p := s.proof(c); p != nil {
		return p, nil
	}
	if s.budget <= 0 {
		return nil, errSpent
	}
	if c.field < 0 {
		t := s.towers[-1-c.field]
		err := s.proveTowers(ctx, t)
		return t.proof, err
	}
	m, err := s.slab(c.from, c.to)
	if err != nil {
		return nil, err
	}
	p, err := s.judgeExactly(ctx, m, &s.fields[c.field])
	if err != nil {
		return nil, err
	}
	s.proofs[c] = p
	s.progress(0.95 - 0.5*math.Max(0, float64(s.budget))/exactFacets)
	return p, nil
}

// judgeExactly judges a zone's own mesh as a run would.
func (s *search) judgeExactly(ctx context.Context, m *mesh.Mesh, spec *Field) (*proof, error) {
	f := spec.Lift()
	layer := s.options.Shell * math.Sqrt(1+f.Slope()*f.Slope())
	refined, err := warp.Refine(ctx, m, &f, s.options.Tolerance)
	if err != nil {
		return nil, err
	}
	s.budget -= (len(m.Facets) + len(refined.Facets)) * max(1, len(spec.Line)) // that much slower about a line
	p := &proof{area: overhang.Find(m, &f, s.options.OverhangDeg).Area}
	starts := overhang.MidairStarts(refined, &f, zone.NewBase(m), layer)
	if p.starts = len(starts); p.starts > 0 {
		p.at = starts[0].At
	}
	p.shells, p.height, err = s.shells(ctx, refined, &f, layer)
	return p, err
}

// slab returns the part between two heights.
func (s *search) slab(from, to int) (*mesh.Mesh, error) {
	key := [2]int{from, to}
	if m := s.slabs[key]; m != nil {
		return m, nil
	}
	m := s.mesh
	if from > 0 {
		over := s.slabs[[2]int{from, len(s.heights) - 1}]
		if over == nil {
			var err error
			if _, over, err = zone.Cut(m, s.plane(from)); err != nil {
				return nil, err
			}
			s.slabs[[2]int{from, len(s.heights) - 1}] = over
		}
		m = over
	}
	if to < len(s.heights)-1 {
		under, _, err := zone.Cut(m, s.plane(to))
		if err != nil {
			return nil, err
		}
		m = under
	}
	s.slabs[key] = m
	return m, nil
}

// plane returns the level cut at a height, through the part's middle.
func (s *search) plane(k int) zone.Plane {
	box := s.cuts.box
	return zone.Plane{
		Point:  r3.Vec{X: tidy((box.Min.X + box.Max.X) / 2), Y: tidy((box.Min.Y + box.Max.Y) / 2), Z: s.heights[k]},
		Normal: r3.Vec{Z: 1},
	}
}

// clears tries the head on a choice, once.
func (s *search) clears(c choice) reached {
	if c.field < 0 {
		return s.towers[-1-c.field].reached
	}
	if r, ok := s.depths[c]; ok {
		return r
	}
	low, high := s.heights[c.from], s.heights[c.to]
	top := c.to == len(s.heights)-1
	f := s.fields[c.field].Lift()
	depth, travel := s.head.depth(&f, zoneSpan{
		in:     func(p r3.Vec) bool { return p.Z >= low && (p.Z < high || top) },
		before: func(p r3.Vec) bool { return p.Z < low },
	}, s.options.Shell, c.to-c.from < len(s.heights)-1)
	r := reached{depth, travel}
	s.depths[c] = r
	return r
}

func distance(a, b r2.Vec) float64 { return r2.Norm(r2.Sub(a, b)) }

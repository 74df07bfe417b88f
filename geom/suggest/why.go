package suggest

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// explain gives every plan its sentence.
func (s *search) explain(plans []Plan) {
	for i := range plans {
		p := &plans[i]
		switch f := &p.Figures; {
		case s.levelArea <= noArea && s.levelStarts == 0 && f.meets():
			p.Why = "Level layers need no support here, and no other plan is simpler."
			if p.Zones.Cut != nil || p.Zones.Field.Kind != Level {
				p.Why = fmt.Sprintf("%s %s, but level layers would need no support either.", s.way(p.Zones), outcome(f, p.Zones))
			}
		case f.meets():
			p.Why = fmt.Sprintf("%s %s%s.", s.way(p.Zones), outcome(f, p.Zones), s.against(p))
		case i == 0:
			p.Why = fmt.Sprintf("No plan was found that leaves at most a tenth of what level layers leave and begins nothing in mid-air, because %s; nearest comes this: %s %s%s.",
				s.reason(plans), lower(s.way(p.Zones)), outcome(f, p.Zones), headWords(f))
		default:
			p.Why = fmt.Sprintf("For comparison: %s %s%s.", lower(s.way(p.Zones)), outcome(f, p.Zones), headWords(f))
		}
	}
}

// against tells what the best single field comes to, where more zones do better.
func (s *search) against(p *Plan) string {
	if p.Figures.Zones == 1 || s.single == nil || s.single.figures.meets() {
		return ""
	}
	f := &s.single.figures
	text := fmt.Sprintf(" (the best single field leaves %.0f mm2", f.OverhangArea)
	if f.MidairStarts > 0 {
		text += fmt.Sprintf(" and %s", count(f.MidairStarts, "mid-air start"))
	}
	if f.HeadDepth > 0 {
		text += ", and the head would meet what is printed"
	}
	return text + ")"
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// way tells how a plan prints, as the subject of a sentence.
func (s *search) way(n *Node) string {
	text := s.nodeWords(n)
	return strings.ToUpper(text[:1]) + text[1:]
}

// nodeWords lists the fields in printing order, with the cuts between them.
func (s *search) nodeWords(n *Node) string {
	if n.Cut == nil {
		if n.Name == footName {
			return "a level foot, which holds better on the bed,"
		}
		return s.fieldWords(&n.Field)
	}
	if n.Cut.Normal.Z == 0 {
		return s.nodeWords(n.Under) + " beside " + s.nodeWords(n.Over)
	}
	var list []string
	for ; n.Cut != nil && n.Cut.Normal.Z != 0; n = n.Over {
		list = append(list, fmt.Sprintf("%s up to z = %.4g", s.nodeWords(n.Under), n.Cut.Point.Z))
	}
	return strings.Join(list, ", ") + " and " + s.nodeWords(n) + " above"
}

func (s *search) fieldWords(f *Field) string {
	switch {
	case f.Kind == Level:
		return "level layers"
	case f.Kind == Ramp:
		return fmt.Sprintf("a %.3g-degree ramp that falls toward azimuth %.4g", f.AngleDeg, f.TowardDeg)
	case f.Kind == Ridge:
		way := "outward from"
		if f.Inward {
			way = "inward to"
		}
		a, b, bends := f.Line[0], f.Line[len(f.Line)-1], ""
		if n := len(f.Line) - 2; n > 0 {
			bends = " with " + count(n, "bend")
		}
		return fmt.Sprintf("a %.3g-degree ridge that grows %s the line from (%.4g, %.4g) to (%.4g, %.4g)%s, along the middle of what stands there,", f.AngleDeg, way, a.X, a.Y, b.X, b.Y, bends)
	case f.Inward:
		return fmt.Sprintf("a %.3g-degree cone that grows inward to the axis at (%.4g, %.4g)", f.AngleDeg, f.Axis.X, f.Axis.Y)
	}
	return fmt.Sprintf("a %.3g-degree cone that grows outward from the axis at (%.4g, %.4g)", f.AngleDeg, f.Axis.X, f.Axis.Y)
}

// outcome tells what a plan comes to, as the rest of the sentence.
func outcome(f *Figures, n *Node) string {
	text := fmt.Sprintf("%s %.0f of the %.0f mm2 that level layers leave unsupported", verb("leave", f, n), f.OverhangArea, f.LevelArea)
	switch {
	case f.OverhangArea <= noArea && f.LevelArea > noArea:
		text = fmt.Sprintf("%s all %.0f mm2 that level layers leave unsupported", verb("carry", f, n), f.LevelArea)
	case f.LevelArea <= noArea && f.OverhangArea <= noArea:
		text = verb("leave", f, n) + " nothing unsupported"
	case f.LevelArea <= noArea:
		text = fmt.Sprintf("%s %.0f mm2 unsupported, where level layers leave nothing", verb("leave", f, n), f.OverhangArea)
	case f.OverhangArea > f.LevelArea:
		text = fmt.Sprintf("%s %.0f mm2 unsupported, more than the %.0f of level layers", verb("leave", f, n), f.OverhangArea, f.LevelArea)
	}
	switch f.MidairStarts {
	case 0:
		return text + ", and no shell begins in mid-air"
	case 1:
		return text + ", but one shell begins in mid-air"
	}
	return fmt.Sprintf("%s, but shells begin in mid-air at %d places", text, f.MidairStarts)
}

// verb bends a verb to its subject: one cone leaves, zones leave.
func verb(v string, f *Figures, n *Node) string {
	if f.Zones > 1 || n.Field.Kind == Level {
		return v
	}
	if v == "carry" {
		return "carries"
	}
	return v + "s"
}

func headWords(f *Figures) string {
	if len(f.HeadHints) == 0 {
		return ""
	}
	return " (" + strings.Join(f.HeadHints, "; ") + ")"
}

// reason tells why no plan is as good as wanted.
func (s *search) reason(plans []Plan) string {
	best := &plans[0].Figures
	switch {
	case !s.reach.steep():
		return "this head, bead and shell allow no sloping shells"
	case !s.reach.carriesLevel() && best.OverhangArea > wantedShare*best.LevelArea:
		return fmt.Sprintf("a level underside wants shells of %.3g degrees, and this head prints %.3g at most", s.reach.need, s.reach.hi)
	case best.HeadDepth > 0:
		return "the head would meet what is printed"
	case len(best.HeadHints) > 0 && best.MidairStarts == 0 && best.OverhangArea <= wantedShare*best.LevelArea+noArea:
		return best.HeadHints[0]
	case best.MidairStarts > 0:
		at := s.firstStart
		return fmt.Sprintf("what hangs at (%.4g, %.4g, %.4g) is lower than all that could carry it, whichever way the shells slope", at.X, at.Y, at.Z)
	}
	if at, ok := s.carrierStart(); ok {
		return fmt.Sprintf("shells that would carry its undersides would begin in mid-air, first at (%.4g, %.4g, %.4g)", at.X, at.Y, at.Z)
	}
	return "its undersides face too many ways for one field, and cuts don't part them"
}

// carrierStart returns the first mid-air start of the field that carries the
// part as far as is wanted and begins least in mid-air; false where none carries
// it.
func (s *search) carrierStart() (at r3.Vec, ok bool) {
	least := 0
	for i := range s.verdicts {
		v := &s.verdicts[i]
		if n := len(v.starts); n > 0 && (least == 0 || n < least) && s.sum[i][len(s.heights)-1] <= wantedShare*s.levelArea+noArea {
			at, least = v.starts[0], n
		}
	}
	return at, least > 0
}

package register

import "conewright/geom/motion"

// prepare keeps the sections of the low layers for OnPart.
func (r *Result) prepare(f *finder, low int) {
	r.beads = beads{list: f.list, flow: f.taken.flow}
	for i := f.first; i < low; i++ {
		fp := &footprint{pieces: f.cut.cut(nil, f.list[i].mid()-f.at.d.Z)}
		fp.build()
		r.low = append(r.low, fp)
	}
}

// OnPart reports whether a bead of the registered file belongs to the part:
// not to the file's start or end, nor to a skirt, a brim, a raft or a priming
// line. It is meant for streaming and keeps its place: one goroutine at a
// time.
func (r *Result) OnPart(ev *motion.Event) bool {
	if !ev.Extrudes() || ev.Line < r.FirstBead || ev.Line > r.LastBead {
		return false
	}
	i, s, _ := r.beads.bead(ev)
	if i < r.first || !ev.Placed() {
		return false
	}
	if k := i - r.first; k < len(r.low) {
		return onPart(r.low[k], s, r.Offset)
	}
	return true
}

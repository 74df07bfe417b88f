package render

import (
	"math"
	"slices"

	"conewright/render/hatch"
	"conewright/render/hidden"
	"conewright/render/section"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// elevationMemo keeps what the elevation is made from.
type elevationMemo struct {
	outlines memo[int, []hidden.Path] // of the solid of a stamp, seen from the front
	body     memo[bodyKey, body]
	lines    memo[elevationKey, elevationLines]
}

func (v *elevationMemo) get(m *model, k elevationKey, moving bool) elevationLines {
	b := bodyKey{m.stamp.solid, k.y, k.sampling, k.window}
	if moving && !v.lines.has(k) {
		k.loose = true
		if !v.body.has(b) { // the section moves
			b.sampling = k.sampling.loose()
		}
	}
	return v.lines.get(k, func() elevationLines {
		return elevation(m, k, v.body.get(b, func() body { return v.newBody(m, b) }))
	})
}

// bodyKey is what the part's own lines in the elevation are made from.
type bodyKey struct {
	solid    int
	y        float64
	sampling sampling
	window   hidden.Window
}

// body is the part in the elevation, whatever its zones.
type body struct {
	face            section.Face
	outline, beyond ln.Paths
	inside          func(x, z float64) bool
}

func (v *elevationMemo) newBody(m *model, k bodyKey) body {
	face := section.Through(m.solid.Mesh, m.solid.AcrossY(k.y), k.y)
	b := body{face: face, outline: upright(face.Loops, k.y, true), inside: face.Inside()}
	look := hidden.Look{Toward: r3.Vec{Y: -1}, Step: k.sampling.step, Precision: k.sampling.precision, Window: k.window,
		Section: &hidden.Section{Y: k.y, Inside: b.inside}}
	paths := v.outlines.get(k.solid, func() []hidden.Path {
		return slices.Concat(m.creases, chainPaths(m.solid.Silhouettes(look.Toward)))
	})
	for _, p := range hidden.Split(m.solid, behind(paths, k.y+m.solid.Size()*1e-6), look) {
		b.beyond = append(b.beyond, p.Visible...)
	}
	return b
}

// elevation finds the lines of the section at k.y.
func elevation(m *model, k elevationKey, b body) elevationLines {
	lines := elevationLines{outline: b.outline, beyond: b.beyond}
	for i, z := range m.zones {
		face := b.face
		if z.mesh != m.solid.Mesh {
			face = section.At(z.mesh, k.y)
		}
		lines.sides = append(lines.sides, rightSide(face, z.mid()))
		if i <= k.zone {
			lines.shells = append(lines.shells, z.sectionShells(face, k, i == k.zone)...)
		}
	}
	if m.overhang != nil {
		lines.bands = bands(m.overhang, k, b.inside, crossedLeans)
	}
	if m.bridged != nil {
		lines.bands = append(lines.bands, bands(m.bridged, k, b.inside, parallelLeans)...)
	}
	return lines
}

// sectionShells returns the zone's shells in the section, straight chevrons
// where it runs through the axis; of the last zone those up to the newest.
func (z *zoneModel) sectionShells(face section.Face, k elevationKey, last bool) ln.Paths {
	if z.warp > 0 { // the face of what is drawn, brought back to the part as it is
		for _, loop := range face.Loops {
			for i, p := range loop {
				loop[i].Y -= z.lift(r2.Vec{X: p.X, Y: k.y})
			}
		}
	}
	levels := z.levels(k.shell, k.nth)
	for last && len(levels) > 0 && levels[len(levels)-1] > k.newest {
		levels = levels[:len(levels)-1]
	}
	lines := section.Shells(face, z.field, levels, k.sampling.precision)
	for _, line := range lines {
		for i, p := range line {
			line[i].Y += z.lift(r2.Vec{X: p.X, Y: k.y})
		}
	}
	return upright(lines, k.y, false)
}

// rightSide returns the greatest x of a face at height z.
func rightSide(face section.Face, z float64) float64 {
	right := math.Inf(-1)
	for _, loop := range face.Loops {
		for i, p := range loop {
			q := loop[(i+1)%len(loop)]
			if (p.Y > z) != (q.Y > z) {
				right = math.Max(right, p.X+(z-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
		}
	}
	return right
}

// upright puts section lines back into space.
func upright(lines [][]r2.Vec, y float64, closed bool) ln.Paths {
	paths := make(ln.Paths, 0, len(lines))
	for _, line := range lines {
		path := make(ln.Path, 0, len(line)+1)
		for _, p := range line {
			path = append(path, ln.Vector{X: p.X, Y: y, Z: p.Y})
		}
		if closed && len(path) > 0 {
			path = append(path, path[0])
		}
		paths = append(paths, path)
	}
	return paths
}

// behind returns the stretches of paths behind the plane y.
func behind(paths []hidden.Path, y float64) []hidden.Path {
	var kept []hidden.Path
	for _, p := range paths {
		var run hidden.Path
		flush := func() {
			if len(run.Points) > 1 {
				kept = append(kept, run)
			}
			run = hidden.Path{}
		}
		for i := 1; i < len(p.Points); i++ {
			a, b := p.Points[i-1], p.Points[i]
			if a.Y < y && b.Y < y {
				flush()
				continue
			}
			start, end := a, b
			if a.Y < y {
				start = r3.Add(a, r3.Scale((y-a.Y)/(b.Y-a.Y), r3.Sub(b, a)))
			} else if b.Y < y {
				end = r3.Add(a, r3.Scale((y-a.Y)/(b.Y-a.Y), r3.Sub(b, a)))
			}
			if len(run.Points) == 0 {
				run.Points = append(run.Points, start)
			}
			run.Points = append(run.Points, end)
			if p.Normals != nil {
				run.Normals = append(run.Normals, p.Normals[i-1])
			}
			if b.Y < y {
				flush()
			}
		}
		flush()
	}
	return kept
}

// Which way the strokes of a band lean.
var (
	crossedLeans  = []float64{-0.5, 0.5}
	parallelLeans = []float64{-0.5}
)

// bands lays strokes along the outline where it is unsupported, on the
// side of the air: surfaces seen edge on have no place for a hatch.
func bands(p *hatch.Patch, k elevationKey, inside func(x, z float64) bool, leans []float64) ln.Paths {
	var strokes ln.Paths
	pitch := k.sampling.pitch
	for _, line := range p.Trace(k.y) {
		side := 0.0
		for i := 1; i < len(line); i++ {
			a, b := r2.Vec{X: line[i-1].X, Y: line[i-1].Z}, r2.Vec{X: line[i].X, Y: line[i].Z}
			d := r2.Sub(b, a)
			length := r2.Norm(d)
			if length == 0 {
				continue
			}
			d = r2.Scale(1/length, d)
			n := r2.Vec{X: -d.Y, Y: d.X}
			if probe := r2.Add(r2.Scale(0.5, r2.Add(a, b)), r2.Scale(1e-3, n)); inside(probe.X, probe.Y) {
				n = r2.Scale(-1, n)
			}
			for ; side < length; side += pitch {
				p := r2.Add(a, r2.Scale(side, d))
				q := r2.Add(p, r2.Scale(pitch, n))
				for _, back := range leans {
					from, to := r2.Sub(p, r2.Scale(back*pitch, d)), r2.Add(q, r2.Scale(back*pitch, d))
					strokes = append(strokes, ln.Path{{X: from.X, Y: k.y, Z: from.Y}, {X: to.X, Y: k.y, Z: to.Y}})
				}
			}
			side -= length
		}
	}
	return strokes
}

package contract

import (
	"math"
	"os"
	"path/filepath"

	"conewright/packaging/reading"
)

// meshes checks every zone's warped mesh, and that all of them, with the warp
// taken back, stand where the part does and on their sides of the cuts.
func (c *check) meshes() {
	low, high := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	solids := map[string][]triangle{}
	for i := range c.log.Zones {
		z := &c.log.Zones[i]
		solids[z.Name] = c.warped(z)
		for j := range solids[z.Name] {
			for corner := range 3 {
				p := &solids[z.Name][j][corner]
				p[2] += *z.Drop - z.Field.At(p[0], p[1])
				for k := range p {
					low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], p[k])
				}
			}
		}
	}
	c.cuts(c.log.Job.Zones, solids)
	for i := range c.log.Job.Parts {
		c.cuts(c.log.Job.Parts[i].Zones, solids)
	}
	slack := c.log.Job.Tolerance + 1e-3
	if len(c.log.Job.Parts) > 0 {
		return // the log's part is one of several
	}
	for k, size := range c.log.Part.Size {
		if math.Abs(high[k]-low[k]-size) > slack {
			c.wrong("the warped meshes, warped back, are %g mm wide along axis %d, the part %g", high[k]-low[k], k, size)
		}
	}
	if math.Abs(low[2]) > slack {
		c.wrong("the warped meshes, warped back, begin at z %g", low[2])
	}
}

// warped checks a zone's warped mesh: binary STL (80 bytes of head, a count, 50
// bytes a facet: the STL format as commonly described), closed, at z = 0, of the
// zone's volume.
func (c *check) warped(z *reading.Zone) []triangle {
	name := "warped/" + z.Name + ".stl"
	data, err := os.ReadFile(filepath.Join(c.dir, filepath.FromSlash(name)))
	if err != nil {
		return nil // said already
	}
	m, err := readSTL(data)
	if err != nil {
		c.wrong("%s: %v", name, err)
		return nil
	}
	if z.WarpedTriangles == nil || z.Volume == nil || z.WarpedVolume == nil {
		c.wrong("zone %s has no figures of its mesh", z.Name)
		return m
	}
	if len(m) != *z.WarpedTriangles {
		c.wrong("%s has %d facets, run.json says %d", name, len(m), *z.WarpedTriangles)
	}
	if open := openEdges(m); open != 0 {
		c.wrong("%s has %d open edges", name, open)
	}
	lowest, volume := math.Inf(1), 0.0
	for _, t := range m {
		for _, p := range t {
			lowest = math.Min(lowest, p[2])
		}
		volume += det(t) / 6
	}
	if math.Abs(lowest) > 1e-4 {
		c.wrong("%s begins at z %g, not 0", name, lowest)
	}
	slack := math.Max(0.001**z.Volume, c.log.Part.Area*c.log.Job.Tolerance/2)
	if math.Abs(volume-*z.Volume) > slack {
		c.wrong("%s has %g mm3, the zone %g", name, volume, *z.Volume)
	}
	return m
}

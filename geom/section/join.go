package section

import "gonum.org/v1/gonum/spatial/r3"

// JoinGap is the widest gap, mm, across which chains of an open mesh are
// joined: a hole in the mesh narrower than a bead, so that no region leaks
// through it.
const JoinGap = 0.2

// joined returns the loops of the cut together with those that its chains make
// when ends are joined to the nearest beginnings, and how many chains were left
// over.
func (c *cut) joined() (loops [][]r3.Vec, open int) {
	loops = c.loops
	chains := c.chains
	for len(chains) > 0 {
		chain, rest := chains[0], chains[1:]
		chain = chain[:len(chain):len(chain)] // appending must not touch points
		pieces := 1
		for {
			end := chain[len(chain)-1]
			nearest, distance := -1, r3.Norm(r3.Sub(chain[0], end))
			for k, other := range rest {
				if d := r3.Norm(r3.Sub(other[0], end)); d < distance {
					nearest, distance = k, d
				}
			}
			if !(distance <= JoinGap) {
				open += pieces
				break
			}
			if nearest < 0 {
				loops = append(loops, chain)
				break
			}
			chain = append(chain, rest[nearest]...)
			rest = append(rest[:nearest:nearest], rest[nearest+1:]...)
			pieces++
		}
		chains = rest
	}
	return loops, open
}

package clearance

// uses holds the use of each step of a motion, two bits a step.
type uses []byte

func (u *uses) put(i int, v use) {
	for i>>2 >= len(*u) {
		*u = append(*u, 0)
	}
	(*u)[i>>2] |= byte(v) << (i & 3 * 2)
}

func (u uses) get(i int) use { return use(u[i>>2] >> (i & 3 * 2) & 3) }

// any reports whether the head is moved through any step after after, up to to.
func (u uses) any(after, to int) bool {
	for i := after + 1; i <= to; i++ {
		if u.get(i) != skipped {
			return true
		}
	}
	return false
}

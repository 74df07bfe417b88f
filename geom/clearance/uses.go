package clearance

// uses holds what each step of a motion is for, two bits a step.
type uses []byte

func (u *uses) put(i int, v use) {
	for i>>2 >= len(*u) {
		*u = append(*u, 0)
	}
	(*u)[i>>2] |= byte(v) << (i & 3 * 2)
}

func (u uses) get(i int) use { return use(u[i>>2] >> (i & 3 * 2) & 3) }

// any reports whether a step after after, up to to, is for anything.
func (u uses) any(after, to int) bool {
	for i := after + 1; i <= to; i++ {
		if u.get(i) != jump {
			return true
		}
	}
	return false
}

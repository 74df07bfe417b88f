package render

// memo keeps the newest result of a computation under what it was made from.
type memo[K comparable, V any] struct {
	key   K
	value V
	stamp int // of the making; 0: nothing made yet
}

// has reports whether the result for key is kept.
func (m *memo[K, V]) has(key K) bool { return m.stamp > 0 && m.key == key }

// get returns the result for key, made anew only where key has changed.
func (m *memo[K, V]) get(key K, make func() V) V {
	if !m.has(key) {
		m.key, m.value = key, make()
		m.stamp++
	}
	return m.value
}

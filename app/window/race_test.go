//go:build race

package window

// raced: the race detector makes tests ten times slower.
const raced = true

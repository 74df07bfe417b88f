//go:build race

package job

// raced: the race detector makes tests ten times slower.
const raced = true

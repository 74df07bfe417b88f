//go:build race

package register

// raced: the race detector makes tests ten times slower.
const raced = true

//go:build !race

package support

const underRace = false

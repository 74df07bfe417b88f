//go:build !race

package overhang

const underRace = false

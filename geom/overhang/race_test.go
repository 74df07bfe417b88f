//go:build race

package overhang

// underRace tells tests of single-threaded code to be brief: the race detector
// makes them ten times slower and finds nothing in them.
const underRace = true

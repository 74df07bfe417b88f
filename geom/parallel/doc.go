// Package parallel holds the two ways in which geom and render work on several
// cores: For shares out a loop, Pipe hands batches from one goroutine to another.
//
// Both give the same result on one core and on many: For knows its rounds by
// number and fails with the error of the lowest one, Pipe keeps the order.
package parallel

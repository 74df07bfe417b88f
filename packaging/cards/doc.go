// Package cards runs a part on every machine card and holds the written files
// against the contract, with poses of 4 x 4 matrices, and against an interpreter
// of RS-274/NGC from outside. It imports nothing of the program but its card
// files.
package cards

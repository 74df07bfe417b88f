// Package deposition lays the beads of a finished run one after the other and
// asks what each rests on, and where the nozzle's flat rim ploughs what was laid
// before. It works from the published contract and geometry alone and imports
// nothing of the program that it checks.
package deposition

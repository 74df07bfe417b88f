// Package reading reads what a run wrote: run.json, the machine card in it and
// the written motion. It is made from the published contract of these files and
// imports nothing of the program, so that a mistake in one place shows in the
// other.
//
// Lengths are millimetres, times seconds, angles degrees unless a name says
// otherwise. Poses are in the part's frame: the bed's, with all turning axes at
// zero.
package reading

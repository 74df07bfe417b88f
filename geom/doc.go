// Package geom is the roof over Conewright's pure computation; it holds no
// code itself.
//
// Units: millimetres, seconds, radians inside (degrees only in files, on
// screen and where a name says Deg). Frame: the bed's, right-handed, z up, bed
// top at z = 0, x to the right, y to the back. Winding: facets run
// counter-clockwise seen from outside, contours have solid on their left.
// Azimuth: counter-clockwise from +x, seen from above.
//
// Data flows one way, each result a pure function of what stands before it:
//
//	part file -> mesh -> zone -> warp -> planner or the user's slicer
//	          -> motion -> unwarp -> readback, clearance -> job (files, run log)
//
// Nothing in geom knows of a screen.
package geom

// Package planner turns a warped mesh, seated at z = 0, into planar motion: the
// built-in path planner.
//
// Each layer is the mesh's section at mid-height. Walls follow its outline,
// caps close what neighbouring layers leave open, fill carries the rest. The
// planner works in planar coordinates: cutting the warped mesh with level planes
// is cutting the part with shells, and whoever unwarps the motion bends it back.
// Of the field it asks two things, both through Options.Lift: what of the shell
// below lies under a bead along the shell's normal, and which side of a shell is
// low. Without Lift the layers are level.
//
// Order: a bead that rests on something comes before one that leans on it. Where
// the nozzle stands off square, the side that its rim doesn't plough comes first.
//
// Volume law: a bead's cross-section is Options.BeadArea A, its planar pitch
// A / layer height, so that lines a pitch apart fill a layer wholly. Filament of
// a bead = A x planar length / filament section, since the warp keeps volume.
package planner

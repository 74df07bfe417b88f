// Package planner turns a warped mesh, seated at z = 0, into planar motion: the
// built-in path planner.
//
// Each layer is the mesh's section at mid-height. Walls follow its outline,
// caps close what neighbouring layers leave open, fill carries the rest. The
// planner knows nothing of fields: cutting the warped mesh with level planes is
// cutting the part with shells, and whoever unwarps the motion bends it back.
//
// Volume law: a bead's cross-section is Options.BeadArea A, its planar pitch
// A / layer height, so that lines a pitch apart fill a layer wholly. Filament of
// a bead = A x planar length / filament section, since the warp keeps volume.
package planner

package planner

import "conewright/geom/polygon"

// Region is the area of a layer.
type Region = polygon.Region

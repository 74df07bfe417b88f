package drawing

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rect is a rectangle on paper, Min.X <= Max.X, Min.Y <= Max.Y.
type Rect struct {
	Min, Max r2.Vec
}

// Width returns the rectangle's width, mm.
func (r Rect) Width() float64 { return r.Max.X - r.Min.X }

// Height returns the rectangle's height, mm.
func (r Rect) Height() float64 { return r.Max.Y - r.Min.Y }

// Center returns the rectangle's middle.
func (r Rect) Center() r2.Vec { return r2.Scale(0.5, r2.Add(r.Min, r.Max)) }

// Contains reports whether p lies in the rectangle or on its border.
func (r Rect) Contains(p r2.Vec) bool {
	return r.Min.X <= p.X && p.X <= r.Max.X && r.Min.Y <= p.Y && p.Y <= r.Max.Y
}

// ViewFrame is a view's place on paper and its parallel projection: bed
// coordinates (mm) to paper and back.
type ViewFrame struct {
	View View
	Rect Rect // where the view may draw
	// Right and Up are the directions of the paper in bed coordinates, Toward
	// points at the viewer; unit vectors square to each other.
	Right, Up, Toward r3.Vec
	Focus             r3.Vec  // bed coordinates of the point that stands at Origin
	Origin            r2.Vec  // paper
	Scale             float64 // mm of paper per mm
}

// Paper returns where p is drawn.
func (f *ViewFrame) Paper(p r3.Vec) r2.Vec {
	d := r3.Sub(p, f.Focus)
	return r2.Vec{
		X: f.Origin.X + f.Scale*r3.Dot(d, f.Right),
		Y: f.Origin.Y - f.Scale*r3.Dot(d, f.Up),
	}
}

// World returns the point that is drawn at q and lies as far from the viewer
// as Focus does.
func (f *ViewFrame) World(q r2.Vec) r3.Vec {
	d := r2.Scale(1/f.Scale, r2.Sub(q, f.Origin))
	return r3.Add(f.Focus, r3.Add(r3.Scale(d.X, f.Right), r3.Scale(-d.Y, f.Up)))
}

// FrameAt returns the frame of the view under p; ok is false outside all.
func (d *Drawing) FrameAt(p r2.Vec) (frame *ViewFrame, ok bool) {
	for i := range d.Frames {
		if d.Frames[i].Rect.Contains(p) {
			return &d.Frames[i], true
		}
	}
	return nil, false
}

// FrameOf returns the frame of a view; ok is false where the sheet lacks it.
func (d *Drawing) FrameOf(v View) (frame *ViewFrame, ok bool) {
	for i := range d.Frames {
		if d.Frames[i].View == v {
			return &d.Frames[i], true
		}
	}
	return nil, false
}

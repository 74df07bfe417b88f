package pictures

import (
	"math"

	"conewright/geom/job"
	"conewright/geom/readback"
	"conewright/render/chart"
)

// Course charts what a run's motion does in the course of the print.
func Course(r *job.Result) ([]job.Picture, error) {
	if len(r.Course) < 2 {
		return nil, nil
	}
	x, unit := "time, min", 60.0
	if last := r.Course[len(r.Course)-1].Seconds; last > 3*3600 {
		x, unit = "time, h", 3600
	}
	card := r.Setup.Machine.Card
	curves := []struct {
		curve chart.Curve
		of    func(s *readback.Sample) float64
	}{
		{chart.Curve{Title: "Height of the tip", Y: "z, mm"}, func(s *readback.Sample) float64 { return s.Z }},
		{chart.Curve{Title: "Turns of the swivel from its zero", Y: "turns"}, func(s *readback.Sample) float64 { return s.Swivel / 360 }},
		{chart.Curve{Title: "Greatest flow; dashed: the most that the card allows", Y: "mm³/s", Limit: card.MaxFlow}, func(s *readback.Sample) float64 { return s.Flow }},
	}
	var all []job.Picture
	for i := range curves {
		c := &curves[i].curve
		least, most := math.Inf(1), math.Inf(-1)
		for k := range r.Course {
			s := &r.Course[k]
			y := curves[i].of(s)
			least, most = math.Min(least, y), math.Max(most, y)
			c.Points = append(c.Points, [2]float64{s.Seconds / unit, y})
		}
		if least == most { // a head that never turns
			continue
		}
		c.X = x
		d, err := chart.Draw(c)
		if err != nil {
			return nil, err
		}
		picture, err := SVG(d)
		if err != nil {
			return nil, err
		}
		all = append(all, job.Picture{Title: c.Title, SVG: picture})
	}
	return all, nil
}

package dye

import "urdir/measure"

// Point is a point of a temperature curve: so long after it began, the bath is
// so warm.
type Point struct {
	At   measure.Minute
	Warm measure.Celsius
}

// Curve is the corners of a temperature curve that begins with the bath at a
// temperature, as Room.Warm follows it. A bath that is let cool is shown going down
// at the same rate; how fast it does is up to the air.
func Curve(start measure.Celsius, heat []Segment) []Point {
	out := []Point{{0, start}}
	for _, s := range heat {
		rate := s.Rate
		if rate <= 0 {
			rate = DefaultRate
		}
		for _, goal := range []measure.Celsius{s.From, s.To} {
			last := out[len(out)-1]
			if goal != 0 && goal != last.Warm {
				by := float64(goal - last.Warm)
				out = append(out, Point{last.At + measure.Minute(max(by, -by)/float64(rate)), goal})
			}
		}
		if last := out[len(out)-1]; s.Hold > 0 {
			out = append(out, Point{last.At + s.Hold, last.Warm})
		}
	}
	return out
}

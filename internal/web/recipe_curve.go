package web

import (
	"fmt"
	"strings"

	"urdir/dye"
)

// curve is a temperature curve as it is drawn.
type curve struct {
	Line          string // corners, for a polyline
	Marks         []mark
	Width, Height int
}

// mark is a number beside a curve.
type mark struct {
	X, Y float64
	Says any
}

// drawCurve lays a curve out: time to the right, heat upwards, the times of the
// holds' ends below it, the temperatures above.
func drawCurve(points []dye.Point) *curve {
	const wide, high, left, right, top, bottom = 300, 96, 26, 44, 24, 22
	c := &curve{Width: wide, Height: high}
	last := points[len(points)-1]
	low, most := points[0].Warm, points[0].Warm
	for _, p := range points {
		low, most = min(low, p.Warm), max(most, p.Warm)
	}
	var corners []string
	for i, p := range points {
		x := left + (wide-left-right)*float64(p.At)/max(1, float64(last.At))
		y := high - bottom - (high-top-bottom)*float64(p.Warm-low)/max(1, float64(most-low))
		corners = append(corners, fmt.Sprintf("%.1f,%.1f", x, y))
		turns := i+1 < len(points) && points[i+1].Warm == p.Warm || i > 0 && i+1 == len(points) && points[i-1].Warm != p.Warm
		switch {
		case i == 0: // where the bath begins, beside the times: above it the line rises
			c.Marks = append(c.Marks, mark{x, high - 4, p.Warm})
			continue
		case turns:
			c.Marks = append(c.Marks, mark{x, y - 7, p.Warm})
		}
		c.Marks = append(c.Marks, mark{x, high - 4, p.At})
	}
	c.Line = strings.Join(corners, " ")
	return c
}

package main

import (
	"fmt"
	"math"
	"strings"
)

// curve is how something grows: both axes by powers of ten.
type curve struct {
	title, file string
	across, up  string
	points      []point
}

// point is a measured figure for a size.
type point struct {
	size  float64
	key   string
	scale float64
}

// found is the points that were measured.
func (c curve) found(f figures) (xs, ys []float64) {
	for _, p := range c.points {
		if v, ok := f.of(p.key); ok && v > 0 {
			xs, ys = append(xs, p.size), append(ys, v*p.scale)
		}
	}
	return xs, ys
}

// says is the curve in words, for who cannot see it.
func (c curve) says(f figures) string {
	xs, ys := c.found(f)
	parts := make([]string, len(xs))
	for i := range xs {
		parts[i] = fmt.Sprintf("%s %s: %s %s", short(xs[i]), c.across, short(ys[i]), c.up)
	}
	return strings.Join(parts, "; ")
}

// draw is the curve as SVG, with a thin line of what would grow as the size does.
func (c curve) draw(f figures) (svg string, ok bool) {
	xs, ys := c.found(f)
	if len(xs) < 2 {
		return "", false
	}
	const wide, high, left, low = 640, 360, 70, 40
	x0, x1 := math.Log10(xs[0]), math.Log10(xs[len(xs)-1])
	y0, y1 := math.Floor(math.Log10(min(ys[0], ys[len(ys)-1]))), math.Ceil(math.Log10(max(ys[0], ys[len(ys)-1])*1.01))
	at := func(x, y float64) (float64, float64) {
		return left + (math.Log10(x)-x0)/(x1-x0)*(wide-left-40), high - low - (math.Log10(y)-y0)/(y1-y0)*(high-low-20)
	}
	var s strings.Builder
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="sans-serif" font-size="13" fill="#2b2622">`, wide, high)
	s.WriteString(`<rect width="100%" height="100%" fill="#faf5ea"/>`)
	for e := y0; e <= y1; e++ {
		_, y := at(xs[0], math.Pow(10, e))
		fmt.Fprintf(&s, `<path d="M%d %.1fH%d" stroke="#d8cdb8"/><text x="%d" y="%.1f" text-anchor="end">%s</text>`, left, y, wide-40, left-6, y+4, short(math.Pow(10, e)))
	}
	line, straight := "", ""
	for i := range xs {
		x, y := at(xs[i], ys[i])
		_, as := at(xs[i], ys[0]*xs[i]/xs[0])
		mark := "L"
		if i == 0 {
			mark = "M"
		}
		line += fmt.Sprintf("%s%.1f %.1f", mark, x, y)
		straight += fmt.Sprintf("%s%.1f %.1f", mark, x, as)
		fmt.Fprintf(&s, `<circle cx="%.1f" cy="%.1f" r="4" fill="#2f4b73"/><text x="%.1f" y="%d" text-anchor="middle">%s</text>`, x, y, x, high-low+18, short(xs[i]))
	}
	fmt.Fprintf(&s, `<path d="%s" fill="none" stroke="#2f4b73" stroke-width="2"/><path d="%s" fill="none" stroke="#a3573f" stroke-dasharray="3 4"/>`, line, straight)
	fmt.Fprintf(&s, `<text x="%d" y="%d" text-anchor="middle">%s</text><text x="%d" y="14">%s; dotted: in proportion</text></svg>`, (wide+left)/2, high-6, c.across, left, c.up)
	return s.String() + "\n", true
}

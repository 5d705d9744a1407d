package photo

// Oklab is a colour as it is compared.
func Oklab(r, g, b uint8) [3]float64 { return lightOf(r, g, b).lab() }

// RGB is the way back.
func RGB(p [3]float64) [3]uint8 {
	r, g, b := lab(p).light().rgb()
	return [3]uint8{r, g, b}
}

// Spread is the sum of squared distances that the k means of weighted points
// leave, and the weights of the groups.
func Spread(at [][3]float64, weight []float64, k int) (cost float64, groups []float64) {
	points := make([]point, len(at))
	for i := range at {
		points[i] = point{at[i], weight[i]}
	}
	means := means(points, k)
	centres := make([]lab, len(means))
	for i, g := range means {
		centres[i], groups = g.at, append(groups, g.weight)
	}
	for _, p := range points {
		cost += p.weight * p.at.off(centres[p.at.nearest(centres)])
	}
	return cost, groups
}

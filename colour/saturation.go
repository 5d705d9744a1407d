package colour

import "math"

// taken is what of an amount the fibre takes up, amount / (1 + q amount); q is 1 /
// half, 0 for all of it.
func taken(amount, q float64) float64 { return amount / (1 + q*amount) }

// slopes are those of least squares through the substrate for a given q:
// sum(w^2 g (K - K0)) / sum(w^2 g^2), not below 0.
func slopes(base []float64, points []point, q float64) []float64 {
	out := make([]float64, len(base))
	for b := range base {
		up, down := 0.0, 0.0
		for _, p := range points {
			g := taken(p.amount, q) * p.w[b]
			up += g * p.w[b] * (p.k[b] - base[b])
			down += g * g
		}
		if down > 0 {
			out[b] = max(0, up/down)
		}
	}
	return out
}

// squares is the weighted sum of squares of points about a fit.
func squares(base, slope []float64, points []point, q float64) float64 {
	sum := 0.0
	for _, p := range points {
		g := taken(p.amount, q)
		for b := range base {
			d := p.w[b] * (p.k[b] - base[b] - slope[b]*g)
			sum += d * d
		}
	}
	return sum
}

// What decides on a saturation term.
const (
	// leastSamples is how many different amounts it takes (our choice).
	leastSamples = 4
	// worthIt: the term is kept if the squared errors of foretelling each sample
	// from the others fall below this share (our choice: on made-up series that
	// are truly proportional it is then kept in 3 of 100 with four amounts, in less
	// than 1 of 100 with five or more, whatever the scatter).
	worthIt = 0.4
	// strongest and weakest saturation looked for: half at a twentieth of the
	// strongest sample and at twenty times it (our choice).
	saturationSpan = 20.0
)

// saturation gives q = 1 / half of the best curve, or 0 where the straight line
// does as well. Each sample is foretold from the others by either (leaving one
// out: Allen, Technometrics 16, 1974; from memory); whole samples are left out,
// because the bands of one sample err together.
func saturation(base []float64, points []point) float64 {
	amounts := map[float64]bool{}
	for _, p := range points {
		amounts[p.amount] = true
	}
	if len(amounts) < leastSamples {
		return 0
	}
	straight, curved := 0.0, 0.0
	for i := range points {
		rest := make([]point, 0, len(points)-1)
		rest = append(append(rest, points[:i]...), points[i+1:]...)
		one := points[i : i+1]
		straight += squares(base, slopes(base, rest, 0), one, 0)
		q := bestQ(base, rest)
		curved += squares(base, slopes(base, rest, q), one, q)
	}
	if curved >= worthIt*straight || straight < 1e-9*float64(len(points)) {
		return 0
	}
	return bestQ(base, points)
}

// bestQ looks for the q of the least squares: a coarse look over the span, then
// golden section. The straight line, q = 0, competes.
func bestQ(base []float64, points []point) float64 {
	most := 0.0
	for _, p := range points {
		most = max(most, p.amount)
	}
	cost := func(logQ float64) float64 {
		q := math.Exp(logQ)
		return squares(base, slopes(base, points, q), points, q)
	}
	low, high := -math.Log(saturationSpan*most), math.Log(saturationSpan/most)
	best := lowest(cost, low, high, 40)
	if cost(best) < squares(base, slopes(base, points, 0), points, 0) {
		return math.Exp(best)
	}
	return 0
}

// lowest is where cost is least between low and high: the best of so many
// steps, then golden section between its neighbours.
func lowest(cost func(float64) float64, low, high float64, steps int) float64 {
	step := (high - low) / float64(steps)
	best, least := low, cost(low)
	for i := 1; i <= steps; i++ {
		if x := low + step*float64(i); cost(x) < least {
			best, least = x, cost(x)
		}
	}
	const golden = 0.6180339887498949
	low, high = max(low, best-step), min(high, best+step)
	x, y := high-golden*(high-low), low+golden*(high-low)
	cx, cy := cost(x), cost(y)
	for high-low > 1e-9 {
		if cx <= cy {
			high, y, cy = y, x, cx
			x = high - golden*(high-low)
			cx = cost(x)
		} else {
			low, x, cx = x, y, cy
			y = low + golden*(high-low)
			cy = cost(y)
		}
	}
	return (low + high) / 2
}

package colour

import (
	"math"

	"urdir/check"
	"urdir/measure"
)

// reach is how far beyond the strongest sample a strength is looked for, in
// strengths of that sample (our choice).
const reach = 4.0

// q is 1 / half; 0 for a proportional shade.
func (sh Shade) q() float64 {
	if sh.Half == 0 {
		return 0
	}
	return 1 / float64(sh.Half)
}

// bands is what an amount gives.
func (sh Shade) bands(amount float64) Bands {
	g := KS(taken(amount, sh.q()))
	out := make(Bands, len(sh.Slope))
	for b := range out {
		out[b] = (sh.Substrate[b] + sh.Slope[b]*g).Reflectance()
	}
	return out
}

// At is the reflectance an amount of dye would give; Bands.Colour makes a colour
// of it if the shade is Coloured.
//
//	shade-amount  the amount is below 0 or above 1000 %
//	shade-beyond  caution: it is above that of the strongest sample
func (sh Shade) At(amount measure.Ratio) (Bands, check.Problems) {
	var ps check.Problems
	if !(amount >= 0 && amount <= mostAmount) {
		ps.Wrong("amount", "shade-amount", check.Args{"amount": amount, "most": mostAmount})
		return nil, ps
	}
	sh.beyond(amount, &ps)
	return sh.bands(float64(amount)), ps
}

func (sh Shade) beyond(amount measure.Ratio, ps *check.Problems) {
	if amount > sh.Most {
		ps.Look("amount", "shade-beyond", check.Args{"amount": amount, "most": sh.Most})
	}
}

// Strength is how much dye a wanted colour takes.
type Strength struct {
	Amount  measure.Ratio // WOF
	Error   measure.Ratio // standard error of Amount; 0 if Freedom is
	Freedom int           // degrees of freedom of Error
	Bands   Bands         // what Amount gives
	Colour  Lab           // the same as a colour, if the shade is Coloured
	Away    DeltaE        // CIEDE2000 from the wish to Colour
}

// Strength proposes how much dye gives a wanted colour: the amount at which the
// bands, on the scale of lightness, come nearest to it (least squares).
//
// Error is the standard error for a new dyeing by the same hands, by the law of
// propagation of uncertainty (JCGM 100:2008, 5.1.2 and, since the bands of a
// sample err together, 5.2.2), to first order. It is made of the scatter of the
// new dyeing and of what the same scatter leaves open of slopes and saturation;
// variances and covariances of the bands are those of the residuals, with
// Freedom degrees of freedom. For an interval multiply by Student's t for Freedom
// (JCGM 100:2008, G.3); with one or two it is wide. A wrong reading of the
// substrate, another harvest or other water are not in it.
//
//	shade-bands        the wish has not the bands of the series
//	shade-reflectance  as in Fit
//	shade-too-pale     the wish asks for less than a thousandth of the strongest sample
//	shade-too-strong   it asks for more than four times the strongest sample
//	shade-beyond       caution: more than the strongest sample
//	shade-other-hue    caution: this dye comes no nearer to the wish
func (sh Shade) Strength(wish Reading) (Strength, check.Problems) {
	var ps check.Problems
	want := wish.read("wish", &ps)
	if len(want) != len(sh.Slope) || sh.Coloured != (len(wish.Bands) == 0) {
		ps.Wrong("wish", "shade-bands", check.Args{"bands": len(want), "want": len(sh.Slope)})
	}
	if ps.Failed() {
		return Strength{}, ps
	}
	cost := func(logAmount float64) float64 {
		sum := 0.0
		for b, r := range sh.bands(math.Exp(logAmount)) {
			d := lightness(r) - lightness(want[b])
			sum += d * d
		}
		return sum
	}
	low, high := math.Log(float64(sh.Most)/1000), math.Log(float64(sh.Most)*reach)
	best := lowest(cost, low, high, 100)
	switch {
	case best-low < 1e-6:
		ps.Wrong("wish", "shade-too-pale", nil)
		return Strength{}, ps
	case high-best < 1e-6:
		ps.Wrong("wish", "shade-too-strong", check.Args{"most": sh.Most * reach})
		return Strength{}, ps
	}
	amount := math.Exp(best)
	out := Strength{Amount: measure.Ratio(amount), Error: measure.Ratio(sh.errorAt(amount)), Freedom: sh.Freedom, Bands: sh.bands(amount)}
	sh.beyond(out.Amount, &ps)
	if sh.Coloured {
		out.Colour, _ = out.Bands.Colour()
		out.Away = Difference(wish.Colour, out.Colour)
		if out.Away > farOff {
			ps.Look("wish", "shade-other-hue", check.Args{"difference": float64(out.Away)})
		}
	}
	return out, ps
}

// errorAt is the standard error of an amount found at this strength. With y the
// darkness (lightness taken negative) of the bands, G = dy/damount, and amount =
// sum(G y) / sum(G^2) to first order, the scatter of a new dyeing comes in with
// G / sum(G^2), and that of each sample through the normal equations, whose
// matrix is diagonal but for the row of q.
func (sh Shade) errorAt(amount float64) float64 {
	if sh.Freedom == 0 {
		return 0
	}
	q, n := sh.q(), len(sh.Slope)
	g := taken(amount, q)
	gain := make([]float64, n)  // G / sum(G^2), when divided
	slope := make([]float64, n) // of the amount on each slope
	sum, onQ := 0.0, 0.0
	for b, r := range sh.bands(amount) {
		w := sureness(r)
		gain[b] = w * float64(sh.Slope[b]) / ((1 + q*amount) * (1 + q*amount))
		sum += gain[b] * gain[b]
		slope[b] = gain[b] * w * g
		onQ -= gain[b] * w * float64(sh.Slope[b]) * g * g
	}
	for b := range gain {
		gain[b] /= sum
		slope[b] /= sum
	}
	variance := sh.along(gain)
	for _, h := range sh.leverage(slope, onQ/sum) {
		variance += sh.along(h)
	}
	return math.Sqrt(variance)
}

// leverage is how far each band of each sample moves the amount, given how far
// the amount moves with the slopes and q.
func (sh Shade) leverage(slope []float64, onQ float64) [][]float64 {
	q, n := sh.q(), len(sh.Slope)
	diagonal, row, corner := make([]float64, n), make([]float64, n), 0.0
	byQ := func(p point, b int) float64 { // of a band's darkness on q
		g := taken(p.amount, q)
		return -p.w[b] * float64(sh.Slope[b]) * g * g
	}
	for _, p := range sh.points {
		for b := range n {
			s := p.w[b] * taken(p.amount, q)
			diagonal[b] += s * s
			row[b] += s * byQ(p, b)
			corner += byQ(p, b) * byQ(p, b)
		}
	}
	y := 0.0 // of q, when it was fitted
	if q > 0 {
		for b := range n {
			onQ -= row[b] * slope[b] / diagonal[b]
			corner -= row[b] * row[b] / diagonal[b]
		}
		y = onQ / corner
	}
	out := make([][]float64, len(sh.points))
	for i, p := range sh.points {
		out[i] = make([]float64, n)
		for b := range n {
			out[i][b] = (slope[b]-row[b]*y)/diagonal[b]*p.w[b]*taken(p.amount, q) + y*byQ(p, b)
		}
	}
	return out
}

// along is the variance of a sum of the bands of one sample, by the residuals.
func (sh Shade) along(weights []float64) float64 {
	sum := 0.0
	for _, off := range sh.off {
		d := 0.0
		for b, w := range weights {
			d += w * off[b]
		}
		sum += d * d
	}
	return sum / float64(sh.Freedom)
}

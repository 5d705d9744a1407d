package colour

import (
	"fmt"
	"math"

	"urdir/check"
	"urdir/measure"
)

// Reading is what was measured of a skein: its colour, or its reflectance in
// bands of the spectrum, the same bands throughout a series.
type Reading struct {
	Colour Lab
	Bands  Bands // if none, the channels of linear sRGB are taken from Colour
}

// Sample is a skein dyed with a known amount of dye.
type Sample struct {
	Amount measure.Ratio // of the weight of fibre (WOF): 0.02 is 2 %
	Reading
}

// Series is one dye on one fibre: the skein as it goes into the bath, mordanted
// but without dye, and samples in several strengths, all by the same recipe.
type Series struct {
	Substrate Reading
	Samples   []Sample
}

// Shade is a series fitted: for each band
//
//	K/S = K/S(substrate) + slope x g        g = amount / (1 + amount / half)
//
// Without Half, g is the amount itself: K/S grows in proportion, as long as the
// fibre takes up the same share of any bath. Half is the amount at which the fibre
// takes up only half of that share; the curve is that of a fibre with a
// limited number of places (Langmuir's isotherm; from memory).
type Shade struct {
	Substrate []KS
	Slope     []KS          // for an amount of 1, that is 100 % WOF
	Half      measure.Ratio // 0: proportional
	Least     measure.Ratio // weakest and strongest sample
	Most      measure.Ratio
	Scatter   float64 // standard deviation of a band about the fit, in units of CIELAB's L
	Freedom   int     // degrees of freedom of Scatter and of errors; 0: not known
	Residuals []Residual
	Coloured  bool // the bands are those of linear sRGB

	points []point
	off    [][]float64 // residuals of each sample and band on the scale of lightness
}

// Residual is how far a sample lies off the fit.
type Residual struct {
	KS         []KS   // measured less fitted, by band
	Difference DeltaE // CIEDE2000; 0 if there is no colour
}

// point is a sample ready for the fit.
type point struct {
	amount float64
	k, w   []float64 // K/S, and its sureness
}

// Bounds of a series; our choice, beyond what a dyer does.
const (
	mostAmount measure.Ratio = 10 // 1000 % WOF: fresh leaves

	mostSamples = 100
	mostBands   = 400

	leastReflectance Reflectance = 1e-4
)

// farOff is the CIEDE2000 from the fit above which a sample is pointed out (our
// choice: a colour anyone sees as another).
const farOff DeltaE = 5

// Fit fits a series by least squares: the squares of measured less fitted K/S,
// each times the square of how surely lightness tells K/S there (first-order
// propagation, JCGM 100:2008, 5.1.2), so that the darkest sample does not decide
// alone. The line goes through the substrate as measured. A slope is not below
// 0. Half is fitted only where the samples ask for it: see saturation.
//
//	shade-no-samples, shade-many-samples
//	shade-amount          an amount is not above 0 and at most 1000 %
//	shade-bands           not as many bands as the substrate has
//	shade-reflectance     a reflectance is not from 0.01 to 100 %
//	shade-flat            no band grows with the amount
//	shade-one-sample      caution: nothing to tell the error by
//	shade-outside-screen  caution: a colour lies outside sRGB; its bands were cut off
//	shade-sample-off      caution: a sample lies far off the fit; one bad sample may pull its
//	                      neighbours along, and the farthest is the one to dye again
func (s Series) Fit() (Shade, check.Problems) {
	base, points, ps := s.read()
	if ps.Failed() {
		return Shade{}, ps
	}
	q := saturation(base, points)
	sh := Shade{Slope: asKS(slopes(base, points, q)), Substrate: asKS(base), Coloured: len(s.Substrate.Bands) == 0, points: points}
	if q > 0 {
		sh.Half = measure.Ratio(1 / q)
	}
	sh.Least, sh.Most = s.Samples[0].Amount, s.Samples[0].Amount
	for _, x := range s.Samples {
		sh.Least, sh.Most = min(sh.Least, x.Amount), max(sh.Most, x.Amount)
	}
	if !grows(sh.Slope) {
		ps.Wrong("samples", "shade-flat", nil)
		return Shade{}, ps
	}
	sh.settle()
	if sh.Freedom == 0 {
		ps.Look("samples", "shade-one-sample", nil)
	}
	for i := range s.Samples {
		if !sh.Coloured {
			break
		}
		fitted, _ := sh.bands(points[i].amount).Colour()
		d := Difference(fitted, s.Samples[i].Colour)
		sh.Residuals[i].Difference = d
		if d > farOff {
			ps.Look(fmt.Sprintf("samples[%d]", i), "shade-sample-off", check.Args{"amount": s.Samples[i].Amount, "difference": float64(d)})
		}
	}
	return sh, ps
}

// read checks a series and makes K/S of it.
func (s Series) read() (base []float64, points []point, ps check.Problems) {
	bare := s.Substrate.read("substrate", &ps)
	n := len(s.Samples)
	switch {
	case n == 0:
		ps.Wrong("samples", "shade-no-samples", nil)
	case n > mostSamples:
		ps.Wrong("samples", "shade-many-samples", check.Args{"samples": n, "most": mostSamples})
		return nil, nil, ps
	}
	if len(bare) > mostBands {
		ps.Wrong("substrate.bands", "shade-bands", check.Args{"bands": len(bare), "want": mostBands})
		return nil, nil, ps
	}
	for _, r := range bare {
		base = append(base, float64(r.KS()))
	}
	for i, x := range s.Samples {
		at := fmt.Sprintf("samples[%d]", i)
		if !(x.Amount > 0 && x.Amount <= mostAmount) { // NaN too
			ps.Wrong(at+".amount", "shade-amount", check.Args{"amount": x.Amount, "most": mostAmount})
		}
		b := x.read(at, &ps)
		if len(b) != len(bare) {
			ps.Wrong(at+".bands", "shade-bands", check.Args{"bands": len(b), "want": len(bare)})
		}
		p := point{amount: float64(x.Amount)}
		for _, r := range b {
			p.k, p.w = append(p.k, float64(r.KS())), append(p.w, sureness(r))
		}
		points = append(points, p)
	}
	return base, points, ps
}

// read gives the bands of a reading and checks them.
func (r Reading) read(at string, ps *check.Problems) Bands {
	if len(r.Bands) == 0 {
		b, moved := r.Colour.Bands()
		if moved {
			ps.Look(at+".colour", "shade-outside-screen", check.Args{"colour": r.Colour.String()})
		}
		return b
	}
	for i, v := range r.Bands {
		if !(v >= leastReflectance && v <= 1) { // NaN too
			ps.Wrong(fmt.Sprintf("%s.bands[%d]", at, i), "shade-reflectance", check.Args{"value": measure.Ratio(v)})
		}
	}
	return r.Bands
}

// settle works out residuals and scatter.
func (sh *Shade) settle() {
	sum := 0.0
	for _, p := range sh.points {
		var r Residual
		var off []float64
		g := taken(p.amount, sh.q())
		for b := range p.k {
			d := p.k[b] - float64(sh.Substrate[b]) - float64(sh.Slope[b])*g
			r.KS = append(r.KS, KS(d))
			off = append(off, p.w[b]*d)
			sum += off[b] * off[b]
		}
		sh.Residuals, sh.off = append(sh.Residuals, r), append(sh.off, off)
	}
	sh.Freedom = len(sh.points) - 1
	if sh.Half > 0 {
		sh.Freedom--
	}
	if sh.Freedom > 0 {
		sh.Scatter = math.Sqrt(sum / float64(sh.Freedom*len(sh.Slope)))
	}
}

func grows(slope []KS) bool {
	for _, k := range slope {
		if k > 0 {
			return true
		}
	}
	return false
}

func asKS(v []float64) []KS {
	out := make([]KS, len(v))
	for i := range v {
		out[i] = KS(v[i])
	}
	return out
}

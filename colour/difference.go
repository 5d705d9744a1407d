package colour

import "math"

// DeltaE is how far two colours are apart. 1 is about what a trained eye sees
// side by side.
type DeltaE float64

// DifferenceAB is the CIELAB difference of 1976: the straight distance between
// two colours (ISO/CIE 11664-4). It tells too much of strong colours; grey
// scales are built on it. Everything else here uses Difference.
func DifferenceAB(a, b Lab) DeltaE {
	return DeltaE(math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B)))
}

// Difference is CIEDE2000 with kL = kC = kH = 1 (ISO/CIE 11664-6), in the order
// of Sharma, Wu and Dalal, Col. Res. Appl. 30(1), 2005, 21-30. It
// is the same both ways. It was fitted to differences up to about 5; above that it
// still orders colours but is no measure.
func Difference(a, b Lab) DeltaE {
	const degree = math.Pi / 180
	ca, cb := math.Hypot(a.A, a.B), math.Hypot(b.A, b.B)
	g := 0.5 * (1 - math.Sqrt(seventh((ca+cb)/2)))
	// Greyish colours are stretched along a (equations 4 to 7).
	aa, ba := (1+g)*a.A, (1+g)*b.A
	ca, cb = math.Hypot(aa, a.B), math.Hypot(ba, b.B)
	ha, hb := float64(hue(aa, a.B)), float64(hue(ba, b.B))
	grey := ca*cb == 0

	turn := 0.0 // from a to b, the shorter way (equation 10)
	if !grey {
		turn = shorter(hb - ha)
	}
	dL, dC := b.L-a.L, cb-ca
	dH := 2 * math.Sqrt(ca*cb) * math.Sin(turn/2*degree)

	l, c, h := (a.L+b.L)/2, (ca+cb)/2, ha+hb // a grey has hue 0: the sum is the other's
	if !grey {
		h = meanHue(ha, hb)
	}
	t := 1 - 0.17*math.Cos((h-30)*degree) + 0.24*math.Cos(2*h*degree) +
		0.32*math.Cos((3*h+6)*degree) - 0.20*math.Cos((4*h-63)*degree)
	sL := 1 + 0.015*(l-50)*(l-50)/math.Sqrt(20+(l-50)*(l-50))
	sC := 1 + 0.045*c
	sH := 1 + 0.015*c*t
	theta := 30 * math.Exp(-((h-275)/25)*((h-275)/25))
	rT := -2 * math.Sqrt(seventh(c)) * math.Sin(2*theta*degree)
	dL, dC, dH = dL/sL, dC/sC, dH/sH
	return DeltaE(math.Sqrt(max(0, dL*dL+dC*dC+dH*dH+rT*dC*dH)))
}

// seventh is c^7 / (c^7 + 25^7).
func seventh(c float64) float64 {
	c7 := c * c * c * c * c * c * c
	return c7 / (c7 + 25*25*25*25*25*25*25)
}

// shorter is a difference of two hues, in degrees, taken the shorter way round.
func shorter(d float64) float64 {
	switch {
	case d > 180:
		return d - 360
	case d < -180:
		return d + 360
	}
	return d
}

// meanHue is the middle of two hues, in degrees, on the shorter arc (Sharma and
// others, equation 14).
func meanHue(g, h float64) float64 {
	sum := g + h
	switch {
	case math.Abs(g-h) <= 180:
		return sum / 2
	case sum < 360:
		return (sum + 360) / 2
	}
	return (sum - 360) / 2
}

// Parts is a CIELAB difference taken apart: lightness, chroma and hue. Their
// squares add up to that of DifferenceAB.
type Parts struct {
	L float64 `json:"lightness"` // above 0: lighter
	C float64 `json:"chroma"`    // above 0: stronger
	H float64 `json:"hue"`       // above 0: toward the next of red, yellow, green, blue, red
}

// PartsOf takes apart how a colour differs from a standard: H is
// 2 sqrt(C C') sin(h/2), with h the turn of the hue (CIE 15; from memory).
func PartsOf(standard, c Lab) Parts {
	s, o := standard.LCh(), c.LCh()
	turn := shorter(float64(o.H - s.H))
	return Parts{o.L - s.L, o.C - s.C, 2 * math.Sqrt(s.C*o.C) * math.Sin(turn/2*math.Pi/180)}
}

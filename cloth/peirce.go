package cloth

import (
	"math"

	"urdir/measure"
)

// Peirce is a plain weave in which both threads bend. Index 1 is the warp, 2
// the weft; P1 is the distance between ends, P2 between picks.
type Peirce struct {
	D1, D2 measure.MM // diameters
	P1, P2 measure.MM // spacings
}

// Crossed is a Peirce cloth worked out. Crimps are fractions, angles radians,
// H heights of crimp.
type Crossed struct {
	Crimp1, Crimp2   measure.Ratio
	Angle1, Angle2   float64
	Height1, Height2 measure.MM
}

// Jam tells which thread has no room to bend any further.
type Jam string

const (
	JamNone Jam = ""
	JamWarp Jam = "warp" // the warp is bent as far as it goes: picks touch, or the weft is straight
	JamWeft Jam = "weft" // the weft is bent as far as it goes: ends touch, or the warp is straight
	JamBoth Jam = "both" // no cloth: sqrt(1-(p1/D)^2) + sqrt(1-(p2/D)^2) > 1 at p < D
)

// Spacing and Height follow from a thread of length l between crossings, lying
// at angle t on threads whose diameters add up to d (Peirce 1937):
//
//	p = (l - d t) cos t + d sin t
//	h = (l - d t) sin t + d (1 - cos t)
func Spacing(l, d, t float64) float64 { return (l-d*t)*math.Cos(t) + d*math.Sin(t) }

// Height is described with Spacing.
func Height(l, d, t float64) float64 { return (l-d*t)*math.Sin(t) + d*(1-math.Cos(t)) }

// HeightApprox is h = 4/3 p sqrt(c), Peirce's approximation; within about five
// per cent for take-ups of 5 to 20 per cent.
func HeightApprox(p float64, crimp measure.Ratio) float64 {
	return 4.0 / 3 * p * math.Sqrt(float64(crimp))
}

// Sum is D, the sum of the diameters.
func (c Peirce) Sum() measure.MM { return c.D1 + c.D2 }

// bend finds how a thread of spacing p reaches height h on diameters d: its
// angle, and its length between crossings. Squaring and adding the two
// equations gives the straight part s = l - d t,
//
//	s^2 = p^2 + h^2 - 2 d h
//
// and the angle is that from the crossing to the far centre less that of the
// tangent. At the jam nothing straight is left; below zero lies only the
// rounding of Range's limits.
func bend(p, h, d float64) (angle, length float64) {
	straight := math.Sqrt(math.Max(0, p*p+h*h-2*d*h))
	angle = math.Max(0, math.Atan2(p, d-h)-math.Atan2(straight, d))
	return angle, straight + d*angle
}

// crossedAt works the cloth out for a height of the warp's crimp within Range;
// the weft takes the rest, h2 = D - h1.
func (c Peirce) crossedAt(h1 float64) Crossed {
	d, p1, p2 := float64(c.Sum()), float64(c.P1), float64(c.P2)
	t1, l1 := bend(p2, h1, d)
	t2, l2 := bend(p1, d-h1, d)
	return Crossed{
		Crimp1: measure.Ratio(l1/p2 - 1), Crimp2: measure.Ratio(l2/p1 - 1),
		Angle1: t1, Angle2: t2,
		Height1: measure.MM(h1), Height2: measure.MM(d - h1),
	}
}

// Range is the span of heights the warp's crimp can have. The warp reaches
// least where the weft is jammed and most where the warp itself is; jam is
// JamBoth when nothing is left between the two.
func (c Peirce) Range() (low, high measure.MM, jam Jam) {
	d := float64(c.Sum())
	low, high = measure.MM(d-jamHeight(float64(c.P1), d)), measure.MM(jamHeight(float64(c.P2), d))
	if float64(low-high) > 1e-12*d {
		return low, high, JamBoth
	}
	return low, high, JamNone
}

// jamHeight is the greatest crimp height at spacing p: d (1 - cos t) with
// sin t = p/d, or all of d where the spacing leaves room.
func jamHeight(p, d float64) float64 {
	if p >= d {
		return d
	}
	return d * (1 - math.Sqrt(1-(p/d)*(p/d)))
}

// WithWarpCrimp finds the weft's crimp for a given crimp of the warp, both
// spacings given. jam says which thread stopped it, if any.
func (c Peirce) WithWarpCrimp(crimp measure.Ratio) (Crossed, Jam) {
	return c.solve(func(x Crossed) float64 { return float64(x.Crimp1 - crimp) })
}

// Balanced finds the state in which both threads have the same crimp: cloth of
// equal threads, relaxed.
func (c Peirce) Balanced() (Crossed, Jam) {
	return c.solve(func(x Crossed) float64 { return float64(x.Crimp1 - x.Crimp2) })
}

// solve finds the height of the warp's crimp at which the condition is zero; it
// rises with the height, so bisection cannot miss it.
func (c Peirce) solve(condition func(Crossed) float64) (Crossed, Jam) {
	low, high, jam := c.Range()
	if jam != JamNone {
		return Crossed{}, jam
	}
	a, b := math.Max(0, float64(low)), float64(high)
	if x := c.crossedAt(a); condition(x) > 0 {
		return x, JamWeft
	}
	if x := c.crossedAt(b); condition(x) < 0 {
		return x, JamWarp
	}
	for range 100 {
		mid := (a + b) / 2
		if condition(c.crossedAt(mid)) < 0 {
			a = mid
		} else {
			b = mid
		}
	}
	return c.crossedAt((a + b) / 2), JamNone
}

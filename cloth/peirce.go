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
	JamWarp Jam = "warp" // picks touch: the warp is bent as far as it goes
	JamWeft Jam = "weft"
	JamBoth Jam = "both" // no cloth: sqrt(1-(p1/D)^2) + sqrt(1-(p2/D)^2) < 1 at p < D
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

// angleFor finds the angle at which a thread of spacing p reaches height h on
// diameters d. From the two equations, l is eliminated:
//
//	h cos t = p sin t - d (1 - cos t)  =>  p sin t + (d - h) cos t = d
//
// which has the closed solution below. ok is false if the thread would have to
// bend beyond its jam, where it touches itself (l = d t).
func angleFor(p, h, d float64) (t float64, ok bool) {
	if h <= 0 {
		return 0, h == 0
	}
	r := math.Hypot(p, d-h)
	if d > r {
		return 0, false
	}
	// p sin t + (d-h) cos t = r cos(t - phase), phase = atan2(p, d-h).
	phase := math.Atan2(p, d-h)
	t = phase - math.Acos(d/r)
	if t < 0 {
		return 0, false
	}
	return t, (p-d*math.Sin(t))/math.Cos(t) >= -1e-9 // straight part left over
}

// lengthAt is the thread between crossings at an angle: the straight part and
// the arc.
func lengthAt(p, d, t float64) float64 {
	if t == 0 {
		return p
	}
	return (p-d*math.Sin(t))/math.Cos(t) + d*t
}

// crossedAt works the cloth out for a given height of the warp's crimp; the
// weft takes the rest, h2 = D - h1.
func (c Peirce) crossedAt(h1 float64) (Crossed, bool) {
	d := float64(c.Sum())
	t1, ok1 := angleFor(float64(c.P2), h1, d)
	t2, ok2 := angleFor(float64(c.P1), d-h1, d)
	if !ok1 || !ok2 {
		return Crossed{}, false
	}
	return Crossed{
		Crimp1: measure.Ratio(lengthAt(float64(c.P2), d, t1)/float64(c.P2) - 1),
		Crimp2: measure.Ratio(lengthAt(float64(c.P1), d, t2)/float64(c.P1) - 1),
		Angle1: t1, Angle2: t2,
		Height1: measure.MM(h1), Height2: measure.MM(d - h1),
	}, true
}

// Range is the span of heights the warp's crimp can have. The warp reaches
// least where the weft is jammed and most where the warp itself is; jam is
// JamBoth when nothing is left between the two.
func (c Peirce) Range() (low, high measure.MM, jam Jam) {
	d := float64(c.Sum())
	low, high = measure.MM(d-jamHeight(float64(c.P1), d)), measure.MM(jamHeight(float64(c.P2), d))
	if low > high+1e-9 {
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
	at := func(h float64) Crossed {
		x, ok := c.crossedAt(h)
		if !ok { // a hair beyond the jam: step back inside
			x, _ = c.crossedAt(math.Min(math.Max(h, a+1e-9*float64(c.Sum())), b-1e-9*float64(c.Sum())))
		}
		return x
	}
	if x := at(a); condition(x) > 0 {
		return x, JamWeft
	}
	if x := at(b); condition(x) < 0 {
		return x, JamWarp
	}
	for range 100 {
		mid := (a + b) / 2
		if condition(at(mid)) < 0 {
			a = mid
		} else {
			b = mid
		}
	}
	return at((a + b) / 2), JamNone
}

package dye

import "math"

// term is one term of the moon's series: size x e^E x sin of the sum of the
// arguments, in days.
type term struct {
	size       float64
	e          int // power of the eccentricity factor
	sun, moon  float64
	node       float64 // F, the moon's argument of latitude
	atNewMoons float64 // another size at new moon, if not zero
}

// syzygies are the terms for the full moon, with those that differ for the new
// moon beside them (Meeus, ch. 49).
var syzygies = []term{
	{-0.40614, 0, 0, 1, 0, -0.40720}, {0.17302, 1, 1, 0, 0, 0.17241}, {0.01614, 0, 0, 2, 0, 0.01608}, {0.01043, 0, 0, 0, 2, 0.01039},
	{0.00734, 1, -1, 1, 0, 0.00739}, {-0.00515, 1, 1, 1, 0, -0.00514}, {0.00209, 2, 2, 0, 0, 0.00208}, {-0.00111, 0, 0, 1, -2, 0},
	{-0.00057, 0, 0, 1, 2, 0}, {0.00056, 1, 1, 2, 0, 0}, {-0.00042, 0, 0, 3, 0, 0}, {0.00042, 1, 1, 0, 2, 0}, {0.00038, 1, 1, 0, -2, 0},
	{-0.00024, 1, -1, 2, 0, 0}, {-0.00007, 0, 2, 1, 0, 0}, {0.00004, 0, 0, 2, -2, 0}, {0.00004, 0, 3, 0, 0, 0}, {0.00003, 0, 1, 1, -2, 0},
	{0.00003, 0, 0, 2, 2, 0}, {-0.00003, 0, 1, 1, 2, 0}, {0.00003, 0, -1, 1, 2, 0}, {-0.00002, 0, -1, 1, -2, 0}, {-0.00002, 0, 1, 3, 0, 0},
	{0.00002, 0, 0, 4, 0, 0},
}

// quarters are the terms for both quarters.
var quarters = []term{
	{-0.62801, 0, 0, 1, 0, 0}, {0.17172, 1, 1, 0, 0, 0}, {-0.01183, 1, 1, 1, 0, 0}, {0.00862, 0, 0, 2, 0, 0}, {0.00804, 0, 0, 0, 2, 0},
	{0.00454, 1, -1, 1, 0, 0}, {0.00204, 2, 2, 0, 0, 0}, {-0.00180, 0, 0, 1, -2, 0}, {-0.00070, 0, 0, 1, 2, 0}, {-0.00040, 0, 0, 3, 0, 0},
	{-0.00034, 1, -1, 2, 0, 0}, {0.00032, 1, 1, 0, 2, 0}, {0.00032, 1, 1, 0, -2, 0}, {-0.00028, 2, 2, 1, 0, 0}, {0.00027, 1, 1, 2, 0, 0},
	{-0.00005, 0, -1, 1, -2, 0}, {0.00004, 0, 0, 2, 2, 0}, {-0.00004, 0, 1, 1, 2, 0}, {0.00004, 0, -2, 1, 0, 0}, {0.00003, 0, 1, 1, -2, 0},
	{0.00003, 0, 3, 0, 0, 0}, {0.00002, 0, 0, 2, -2, 0}, {0.00002, 0, -1, 1, 2, 0}, {-0.00002, 0, 1, 3, 0, 0},
}

// planets are the additional terms of all phases: size, angle, and its change
// with k.
var planets = [...][3]float64{
	{0.000325, 299.77, 0.107408}, {0.000165, 251.88, 0.016321}, {0.000164, 251.83, 26.651886}, {0.000126, 349.42, 36.412478},
	{0.000110, 84.66, 18.206239}, {0.000062, 141.74, 53.303771}, {0.000060, 207.14, 2.453732}, {0.000056, 154.84, 7.306860},
	{0.000047, 34.52, 27.261239}, {0.000042, 207.19, 0.121824}, {0.000040, 291.34, 1.844379}, {0.000037, 161.72, 24.198154},
	{0.000035, 239.56, 25.513099}, {0.000023, 331.55, 3.592518},
}

// PhaseInstant is when phase k is, as a Julian day in dynamical time: k whole is
// a new moon, k + 0.25 the first quarter, k + 0.5 full, k + 0.75 the last; k = 0
// is the new moon of 6 January 2000. Meeus, Astronomical Algorithms, ch. 49,
// good to seconds.
func PhaseInstant(k float64) float64 {
	t := k / 1236.85
	jde := 2451550.09766 + 29.530588861*k + t*t*(0.00015437+t*(-0.000000150+t*0.00000000073))
	e := 1 - t*(0.002516+t*0.0000074)
	sun := 2.5534 + 29.10535670*k + t*t*(-0.0000014-t*0.00000011)
	moon := 201.5643 + 385.81693528*k + t*t*(0.0107582+t*(0.00001238-t*0.000000058))
	node := 160.7108 + 390.67050284*k + t*t*(-0.0016118+t*(-0.00000227+t*0.000000011))
	ascending := 124.7746 - 1.56375588*k + t*t*(0.0020672+t*0.00000215)
	q := quarter(k)
	terms := syzygies
	if q%2 == 1 {
		terms = quarters
		w := 0.00306 - 0.00038*e*cos(sun) + 0.00026*cos(moon) - 0.00002*cos(moon-sun) + 0.00002*cos(moon+sun) + 0.00002*cos(2*node)
		jde += w * float64(2-q)
	}
	jde -= 0.00017 * sin(ascending)
	for _, x := range terms {
		size := x.size
		if q == 0 && x.atNewMoons != 0 {
			size = x.atNewMoons
		}
		jde += size * math.Pow(e, float64(x.e)) * sin(x.sun*sun+x.moon*moon+x.node*node)
	}
	for i, p := range planets {
		angle := p[1] + p[2]*k
		if i == 0 {
			angle -= 0.009173 * t * t
		}
		jde += p[0] * sin(angle)
	}
	return jde
}

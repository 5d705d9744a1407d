package colour

import (
	"math"

	"urdir/measure"
)

// Within is the range in which a new dyeing's strength lies with a probability:
// Amount less and more Student's t times Error (JCGM 100:2008, G.3). It does not
// go below nothing. ok is false where the error is not known or level is not
// between 0 and 1.
func (s Strength) Within(level measure.Ratio) (low, high measure.Ratio, ok bool) {
	if s.Freedom <= 0 || !(level > 0 && level < 1) {
		return 0, 0, false
	}
	by := s.Error * measure.Ratio(student(float64(level), s.Freedom))
	return max(0, s.Amount-by), s.Amount + by, true
}

// student is Student's t: how many standard errors either way hold a share of
// what comes. It is found by halving, to the last figure.
func student(level float64, freedom int) float64 {
	low, high := 0.0, math.Pi/2 // of the angle whose tangent is t / sqrt(freedom)
	for range 60 {
		if mid := (low + high) / 2; inside(mid, freedom) < level {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Tan(low) * math.Sqrt(float64(freedom))
}

// inside is the share of Student's distribution that lies within t either way,
// for the angle whose tangent is t / sqrt(freedom) (Abramowitz and Stegun, Handbook
// of Mathematical Functions, 1964, 26.7.3 and 26.7.4).
func inside(angle float64, freedom int) float64 {
	sin, cos := math.Sincos(angle)
	term, sum := 1.0, 0.0
	if freedom%2 == 1 {
		term = cos
	}
	for n := freedom % 2; n < freedom-1; n += 2 {
		sum += term
		term *= cos * cos * float64(n+1) / float64(n+2)
	}
	if freedom%2 == 1 {
		return 2 / math.Pi * (angle + sin*sum)
	}
	return sin * sum
}

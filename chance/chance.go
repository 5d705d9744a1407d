// Package chance is numbers that look like chance and are always the same: a
// seed means the same on every machine and in every release, so that the same
// plan, picture or test comes of it. They are SplitMix64 (G. L. Steele, D. Lea,
// C. H. Flood, Fast splittable pseudorandom number generators, OOPSLA 2014): for
// plans and pictures, not for secrets.
package chance

import "math/bits"

// Step is what a Stream goes on by for each number.
const Step uint64 = 0x9e3779b97f4a7c15

// Stream is a row of numbers; its value is the seed.
type Stream uint64

// Next is a number of 64 bits.
func (s *Stream) Next() uint64 {
	*s += Stream(Step)
	return Mix(uint64(*s))
}

// Below is a number from 0 to n-1, for n above 0. Its bias of n/2^64 does not
// matter for a plan.
func (s *Stream) Below(n int) int {
	hi, _ := bits.Mul64(s.Next(), uint64(n))
	return int(hi)
}

// Share is a number from 0 up to 1.
func (s *Stream) Share() float64 { return float64(s.Next()>>11) / (1 << 53) }

// Shuffle puts a list in another order (Fisher and Yates).
func Shuffle[T any](s *Stream, list []T) {
	for i := len(list) - 1; i > 0; i-- {
		k := s.Below(i + 1)
		list[i], list[k] = list[k], list[i]
	}
}

// Mix makes a number that looks like chance of any other.
func Mix(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

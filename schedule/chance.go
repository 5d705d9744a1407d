package schedule

import "math/bits"

// chance is pseudo-random numbers: SplitMix64 (Steele, Lea and Flood, OOPSLA
// 2014), so that a seed means the same on every machine and in every release.
type chance struct{ x uint64 }

func (c *chance) next() uint64 {
	c.x += 0x9e3779b97f4a7c15
	z := c.x
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number from 0 to n-1; its bias of n/2^64 does not matter here.
func (c *chance) below(n int) int {
	hi, _ := bits.Mul64(c.next(), uint64(n))
	return int(hi)
}

// share is a number from 0 up to 1.
func (c *chance) share() float64 { return float64(c.next()>>11) / (1 << 53) }

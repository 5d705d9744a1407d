package promise

import (
	"hash/fnv"

	"urdir/schedule/rates"
)

// luck is the standard normal number of a key in a run: the same whatever else is
// drawn. The mixing is that of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
func luck(seed, key uint64, run int) float64 {
	u := mix(mix(seed+key) + 0x9e3779b97f4a7c15*uint64(run+1))
	return rates.Normal((float64(u>>11) + 0.5) / (1 << 53))
}

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// keyOf is a number for some words; two of 10,000 are the same once in some
// hundred thousand million workshops.
func keyOf(words ...string) uint64 {
	h := fnv.New64a()
	for _, w := range words {
		_, _ = h.Write([]byte(w)) // never fails, as hash.Hash says
		_, _ = h.Write([]byte{0})
	}
	return h.Sum64()
}

package promise

import (
	"hash/fnv"

	"urdir/chance"
	"urdir/schedule/rates"
)

// luck is the standard normal number of a key in a run: the same whatever else is
// drawn.
func luck(seed, key uint64, run int) float64 {
	u := chance.Mix(chance.Mix(seed+key) + chance.Step*uint64(run+1))
	return rates.Normal((float64(u>>11) + 0.5) / (1 << 53))
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

package design

// Throw is the first numbers of the dice that start at a number.
func Throw(start uint64, n int) (out []uint64) {
	d := dice(start)
	for range n {
		out = append(out, d.next())
	}
	return out
}

// Apportion is apportion.
var Apportion = apportion

// Weights is the first terms of a series.
func (s Series) Weights(n int) []float64 { return s.weights(n) }

package design

// Apportion is apportion.
var Apportion = apportion

// Weights is the first terms of a series.
func (s Series) Weights(n int) []float64 { return s.weights(n) }

package yarn

import "slices"

// fibres are the fibres a yarn may name; the words for them are in the word
// lists. Names are the trade's.
var fibres = []string{"cotton", "wool", "alpaca", "llama", "silk", "linen", "hemp", "agave", "ramie", "jute", "acrylic", "mixed"}

// Fibres lists the known fibres.
func Fibres() []string { return slices.Clone(fibres) }

// KnownFibre reports whether a fibre is known.
func KnownFibre(s string) bool { return slices.Contains(fibres, s) }

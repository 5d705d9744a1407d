// Package frame finds the way of a warp round the pegs of a warping frame.
//
// The thread starts at a start peg, passes the two pegs of the cross on opposite
// sides, goes over a chain of pegs, and turns round the last one; coming back it
// lies on the same side of every peg of the chain but on the other side of the
// cross pegs, which is what makes the cross. Out and back is one circuit and
// lays two ends, so the length of an end is half a circuit.
//
// Length is that of the thread: straight legs, tangent to the pegs, and the arcs
// on them (the belts of any machinery handbook, open where both pegs lie on the
// same side and crossed where they do not). The thread's own thickness is
// neglected: half a millimetre on a peg of two centimetres.
//
// A leg cannot pass through a peg that stands in its way, and a leg of the chain
// keeps two millimetres clear of the pegs it passes. The near peg of the cross
// comes first if the far one lies behind it. A peg at which the thread would go
// straight on is not part of a chain.
//
// Find looks for the least excess over the length needed, never short; then for
// the fewest pegs; then for the fewest times the thread crosses its own way,
// counted on the lines from peg to peg on the way out; and keeps the first such
// way it meets, in an order that depends on the frame and the need alone.
// Excesses are compared in whole millimetres: no hand lays a warp closer, and
// only a stated resolution makes fewest pegs mean something, since with twenty
// free pegs some tangle of them always comes a hair closer.
//
// The search goes through chains of no peg, one peg, two, and so on, leaving out
// those that bounds show to be too short or too long. Once some chain has an
// excess of less than a millimetre no other can have less, which settles the
// first aim long before all chains have been seen. There are more of them than
// can be seen, so the search counts its steps; Path.Proven says what is proven
// when they run out, and what is not is the best that was found.
//
//	Frame.Validate  what is wrong with a frame
//	Frame.Find      the way for ends of a length
//	Frame.Longest   the longest way, and a length that no way exceeds
//	Frame.Measure   the ways by pegs that a weaver names
package frame

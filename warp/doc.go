// Package warp turns a stripe order into ends and circuits.
//
// A stripe order says what lies side by side across the cloth: stripes of one
// yarn, stripes that alternate yarns end by end, groups repeated, groups
// mirrored, and a border at both edges. A stripe is so many ends, so many
// centimetres, or a share of what is left.
//
//	Expand  order      -> stripes side by side, with the ones that must stay alike
//	Fit     stripes    -> whole ends that fill the width
//	Wind    fitted     -> circuits of the frame, with running counts and ties
//	Shed    ends       -> which ends the cross puts on which shed, and the heddles
//
// One circuit of the frame, out and back, lays two ends at the cross for each
// ball in hand (common practice). Lengths on the frame are package warp/frame.
package warp

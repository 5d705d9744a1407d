// Package tie says where to tie a warp that is dyed in a pattern before it is
// woven: ends are bound tightly in bundles while the warp is stretched, the
// binding keeps the dye out, and the pattern appears in the cloth.
//
// The pattern is drawn on the finished cloth as marks: so many ends by so many
// centimetres along it. The cloth is opened out, before hems are turned and
// seams are sewn; 0 is where it begins, and a fringe before that has lengths
// below 0. Guide goes from there to the thread, band by band:
//
//	on the loom = finished / (1 - shrinkage)
//	thread      = on the loom x (1 + take-up)
//
// An open band and a fringe have no take-up; a fringe has its twist instead. The
// lengths are those of the plan, so that both always agree.
//
// Positions are of thread, from the end of the warp where weaving begins: the
// waste before the first panel, then every panel and the space after it. Take-up
// is known as a range, and so is every position; the middle is what to tie at.
// Positions far along a warp are known less well, since take-up adds up, but a
// weaver sees the ties come and begins each panel where its own ties say, taking
// up the difference in the space between.
//
// Ends slide past each other while a warp is dyed, dressed and woven, so edges
// blur. Setup.Shift is how far.
//
// On the frame ends lie out and back: odd passes run from the start peg to the
// turning peg, even ones return. The warp stretched between bars has all of them
// side by side, so that one position serves all; on the frame it is one distance
// along an odd pass and another along an even one, each in the direction in
// which it was laid.
package tie

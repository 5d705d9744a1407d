// Package cloth holds the geometry of woven cloth: how closely ends cover the
// face, how much longer the warp is than the cloth, what washing takes, and
// what a piece weighs.
//
// Cloth here is plain weave. In warp-faced cloth the ends lie so close that the
// weft is hidden and runs nearly straight; the warp does all the bending:
//
//	D = f (d_warp + d_weft)      how far apart the two threads' centres are
//	p = 10 / picks per cm        mm from pick to pick
//	sin t = D / p                t: the angle at which an end crosses
//	l = D t + D / tan t          mm of end in one pick
//	c = l/p - 1                  take-up
//
// f says how flat packed threads become: 1 is Peirce's round thread and reads
// far too high here, 0.7 (from memory) gives what weavers report.
//
// Cloth whose threads both bend is Peirce's full model (F. T. Peirce, The
// geometry of cloth structure, Journal of the Textile Institute 28, 1937), in
// Peirce.
package cloth

// Package workshop is what a workshop keeps and may do: customers, orders,
// cloths, figures, yarn, members, warps in work, pieces; who may do what; and
// what follows from what was done.
//
// Every method of House that takes a Person checks first whether that person
// may (rights.go), then what was asked (check.Problems), and only then changes
// anything, in one transaction with its line in the history.
//
// Nobody sets a state. What happened is kept as facts on a warp or a piece; how
// far an order is follows from them (Thread). Material goes from place to place
// and is never made or lost on the way.
package workshop

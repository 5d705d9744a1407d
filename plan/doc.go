// Package plan makes the whole plan of one cloth and one order: the warps with
// their ends, circuits and length, the panels with their bands, the yarn for
// everything, the finished piece. It is the only package that knows all of the
// calculation packages.
//
// Begin with NewCloth, or with package clothfile, and call Make.
package plan

// Package sheet makes the printed sheets of a plan: the order, the warp sheets,
// the weavers' sheets with their charts, the yarn list, the kit list of a class.
// The same pages come out as one PDF or as pictures for a telephone.
//
// Sheets are read on the floor, by hand-light and by people who may not read:
// big numbers, pictures, a letter and a hatch for each colour, boxes to tick.
package sheet

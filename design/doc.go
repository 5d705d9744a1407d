// Package design changes a cloth as a weaver changes it at a table with yarns
// laid out: a stripe is widened, put elsewhere, split, mirrored; a band is made
// longer; a figure is drawn cell by cell.
//
// Every function takes a value and gives a new one; what it was given stays as
// it was, so that any step can be taken back (History). What cannot be done is
// said in check.Problems and leaves the cloth unchanged. An edit never makes a
// list of stripes or bands that could not be written in a cloth file; whether
// the whole adds up is for plan.Make to say, which is called after every edit
// anyway.
//
//	At         where a stripe, band or group stands
//	Insert...  lists of stripes and of bands alike: Insert, Remove, Move,
//	           Duplicate, Repeat, SetTimes, Mirror, Ungroup
//	SetSize... stripes: SetSize, Recolour, Alternate, Plain, Split, Join,
//	           Shuffle, FitTo, WidenAt
//	SetLength  bands: SetLength, SetRest, SetKind, SetWeft, SetPicks, SetPlace
//	Outline    a list of stripes or bands as rows, for those who hear or read it
//	Propose    stripe orders from the yarn that is on the shelf
//	History    any such value with its steps, to be taken back and done again
//	Grid       a figure as it is drawn
package design

// Package dye reckons the work of a dye house: a recipe in, and for a lot of
// fibre the amounts, water, heat, fuel, time, drying and cautions out.
//
// A Recipe is steps on one class of fibre. Check finds what is wrong with it;
// Make scales it to a lot over the workshop's pots, in the fewest equal baths.
// Heat, boiling point and the moon are reckoned from published formulas; what
// is a default from memory says so beside its constant.
//
// The package is pure and holds no sentences: hazards, substances and steps are
// keys, which internal/lang puts into words.
package dye

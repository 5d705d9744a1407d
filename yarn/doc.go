// Package yarn reads yarn counts and turns them into the figures a warp needs:
// linear density, diameter, mass of a length, skeins to buy, balls to wind.
//
// A count says how heavy a thread is for its length, in one of two ways.
// Direct systems give mass per length (tex: grams per kilometre; denier: grams
// per 9 km; US grain: grains per 120 yards). Indirect systems give length per
// mass (cotton Ne: hanks of 840 yards in a pound; metric Nm: metres in a gram).
// Inside, everything is tex (ISO 1144).
//
// In handweaving, "Ne 20/2" is two plies of single 20, a thread as heavy as
// single 10 (ISO 1139 would write it by its resultant). Spun silk is the
// exception: silk 60/2 already weighs what 60 says.
//
// A warp end is often several strands wound side by side; their tex adds up.
package yarn

// Package measure holds the quantities of the trade as types, one type a unit,
// so that a bare number with a unit never crosses a package boundary.
//
// The unit is the type's name: a CM is a length in centimetres, a Gram a mass
// in grams. Cloth and warps are measured in CM, thread diameters in MM, thread
// lengths in M, linear density in Tex. Going from one to another is always a
// named method (CM.MM, Tex.Mass), never a conversion by hand.
//
// Parse functions read what a person writes: "32 cm", "1,5 m", "20 /cm",
// "8 %". A number without a unit is refused: guessing is how a warp ends up
// too short.
package measure

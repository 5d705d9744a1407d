// Package colour reckons with measured colours of yarn and cloth.
//
// A colour comes as a screen shows it (SRGB), as light (Linear, XYZ) or as the
// eye sees it (Lab, LCh), and goes from one to the other by the standards. All
// of it is for daylight D65 and the 2 degree observer. How far two colours
// are apart is a DeltaE; Difference is CIEDE2000, which follows the eye best.
//
// On top of that stand the questions of a dye house: does this lot pass beside
// its standard (Judge), which lot is nearest to a wish (Nearest), how do lots
// lie on a shelf (Shelf), what does washing or light do to a colour
// (RateChange, RateStaining), which colour comes of how much dye (Series.Fit,
// Shade.At, Shade.Strength), what does a second bath make of the first
// (Overdye), and what colour is the skein on a photograph that shows a grey
// card beside it (Card.Read, Light.Read).
//
// A phone and a grey card tell two lots of one photograph apart; they do not
// replace an instrument. Compare what was measured the same way.
package colour

package cloth

import "urdir/measure"

// Cover is how closely the ends lie: sett x diameter. At 1 they touch. Cloth
// counts as warp-faced from about 1.3, because every shed alone must cover the
// face; beyond about 1.6 it is crowded (common practice, no source).
const (
	WarpFacedLow  measure.Ratio = 1.3
	WarpFacedHigh measure.Ratio = 1.6
)

// Kind is what a cover makes of a cloth.
type Kind string

const (
	Balanced  Kind = "balanced"   // the weft shows
	Nearly    Kind = "nearly"     // warp-faced with some weft showing
	WarpFaced Kind = "warp-faced" // the weft is hidden
	Crowded   Kind = "crowded"
)

// Cover is the cover of a sett: ends/cm x diameter in cm.
func Cover(sett measure.PerCM, d measure.MM) measure.Ratio {
	return measure.Ratio(float64(sett) * float64(d.CM()))
}

// KindOf names a cover.
func KindOf(k measure.Ratio) Kind {
	switch {
	case k < 1:
		return Balanced
	case k < WarpFacedLow:
		return Nearly
	case k <= WarpFacedHigh:
		return WarpFaced
	}
	return Crowded
}

// SettFor is the sett that gives a cover.
func SettFor(k measure.Ratio, d measure.MM) measure.PerCM {
	return measure.PerCM(float64(k) / float64(d.CM()))
}

// Ashenhurst is the greatest sett of a balanced weave whose repeat has so many
// ends and intersections, from threads that lie d apart side by side
// (T. R. Ashenhurst, 19th century): diameters x ends / (ends + intersections).
// Plain weave has two ends and two intersections.
func Ashenhurst(perCM measure.PerCM, ends, intersections int) measure.PerCM {
	return perCM * measure.PerCM(float64(ends)/float64(ends+intersections))
}

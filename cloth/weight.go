package cloth

import (
	"math"

	"urdir/measure"
)

// Loom is the loom-state length that finishes to the given one: finished /
// (1 - s). Adding s to the finished length instead falls short.
func Loom(finished measure.CM, s measure.Ratio) measure.CM {
	return finished / measure.CM(1-s)
}

// Finished is what a loom-state length becomes: loom x (1 - s).
func Finished(loom measure.CM, s measure.Ratio) measure.CM {
	return loom * measure.CM(1-s)
}

// Direction is one system of threads in a cloth.
type Direction struct {
	Per   measure.PerCM // threads per cm
	Tex   measure.Tex
	Crimp measure.Ratio
}

// Weight is the mass of a square metre: for each direction threads per cm x
// tex x (1 + crimp) / 10.
func Weight(warp, weft Direction) measure.PerM2 {
	one := func(d Direction) float64 { return float64(d.Per) * float64(d.Tex) * (1 + float64(d.Crimp)) / 10 }
	return measure.PerM2(one(warp) + one(weft))
}

// PickLength is the weft in one pick: the width on the loom with its crimp, and
// a half turn round the outermost end at the selvedge, whose width is the
// distance from pick to pick.
func PickLength(width measure.CM, crimp measure.Ratio, picks measure.PerCM) measure.CM {
	return width*measure.CM(1+crimp) + Turn(picks)
}

// Turn is the weft's way round the selvedge: half a circle over one pick's
// spacing, pi/2 x p.
func Turn(picks measure.PerCM) measure.CM {
	if picks <= 0 {
		return 0
	}
	return measure.CM(math.Pi / 2 / float64(picks))
}

// Words for the hand of a cloth. They are keys; the reader sees them with the
// numbers beside.
const (
	Drapes = "drapes"
	Firm   = "firm"
	Stiff  = "stiff"
)

// HandOf gives a word for how a cloth falls, from cover and weight: light or
// open cloth drapes, heavy crowded cloth stands. The bounds are from memory:
// at a cover of 1.3, scarves lie under about 300 g/m2, bags and belts above 500.
func HandOf(cover measure.Ratio, w measure.PerM2) string {
	switch score := float64(w) * math.Max(1, float64(cover)) / 1.3; {
	case score < 300:
		return Drapes
	case score < 500:
		return Firm
	}
	return Stiff
}

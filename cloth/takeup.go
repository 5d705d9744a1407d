package cloth

import (
	"errors"
	"math"

	"urdir/measure"
)

// How flat packed threads become. The default and its range are from memory;
// a workshop's own records (Records) soon replace them.
const (
	DefaultFlatness measure.Ratio = 0.7
	flatnessBand    measure.Ratio = 0.1
)

// FlatnessRange is the stated range around a flatness: a tenth to either side,
// never beyond Peirce's round thread.
func FlatnessRange(f measure.Ratio) (low, high measure.Ratio) {
	return max(0.05, f-flatnessBand), min(1, f+flatnessBand)
}

// Crossing is an end going over straight picks.
type Crossing struct {
	Warp, Weft measure.MM    // diameters
	Picks      measure.PerCM // on the loom
	Flatness   measure.Ratio
}

// Geometry is a crossing worked out.
type Geometry struct {
	Sum     measure.MM // D: flattened sum of diameters
	Spacing measure.MM // p: from pick to pick
	Angle   float64    // t, in radians
	Length  measure.MM // l: of end in one pick
	TakeUp  measure.Ratio
}

// ErrJammed says that threads would have to lie inside each other.
var ErrJammed = errors.New("threads jam")

// StraightWeft is the take-up of ends over a straight weft, in closed form
// (Peirce's geometry with no crimp in the weft; formulas in the package
// comment). It is ErrJammed when the picks are closer than MostPicks.
//
// Take-up is crimp as ISO 7211-3 defines it: (straight length - length in the
// cloth) / length in the cloth.
func StraightWeft(x Crossing) (Geometry, error) {
	g := Geometry{Sum: measure.MM(x.Flatness) * (x.Warp + x.Weft), Spacing: x.Picks.Spacing()}
	d, p := float64(g.Sum), float64(g.Spacing)
	if !(d > 0) || d >= p {
		return g, ErrJammed
	}
	g.Angle = math.Asin(d / p)
	g.Length = measure.MM(float64(d*g.Angle) + d/math.Tan(g.Angle))
	g.TakeUp = measure.Ratio(g.Length/g.Spacing - 1)
	return g, nil
}

// MostPicks is the number of picks per cm at which the picks jam: p = D.
func MostPicks(warp, weft measure.MM, flatness measure.Ratio) measure.PerCM {
	return measure.PerCM(10 / float64(measure.MM(flatness)*(warp+weft)))
}

// Crimp is take-up from a measured end: its straight length over the length it
// had in the cloth, minus 1 (ISO 7211-3). Both lengths are above zero.
func Crimp(straight, inCloth measure.CM) measure.Ratio {
	return measure.Ratio(straight/inCloth - 1)
}

// Records is what finished pieces of one kind taught: the same yarn, strands,
// sett and picks.
type Records struct {
	Mean   measure.Ratio
	Pieces int
}

// PriorPieces is how many measured pieces the geometry is worth. Take-up varies
// between pieces of one weaver by about as much as the geometry may be off
// (from memory: a sixth to a third of itself), and between weavers by more, so
// the geometry counts as much as four pieces.
const PriorPieces = 4

// Weight is how far the records outweigh the geometry: n / (n + 4).
func (r Records) Weight() measure.Ratio {
	return measure.Ratio(float64(r.Pieces) / float64(r.Pieces+PriorPieces))
}

// Toward is the measured mean shrunk toward the geometry: a weighted mean, the
// usual estimate when a group's mean is drawn toward a prior (normal-normal
// model).
func (r Records) Toward(geometry measure.Ratio) measure.Ratio {
	w := r.Weight()
	return w*r.Mean + (1-w)*geometry
}

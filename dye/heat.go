package dye

import (
	"math"

	"urdir/measure"
)

// Specific heats in kJ/(kg K): water at 15 °C 4.186; dry cotton about 1.22 and
// dry wool about 1.36 (Morton and Hearle, Physical Properties of Textile
// Fibres). All from memory.
const (
	waterHeat  = 4.186
	cottonHeat = 1.22
	woolHeat   = 1.36
)

// Defaults of the heat of a bath.
const (
	// DefaultRate is how fast a bath grows warm where a recipe does not say:
	// slow, so that the colour goes on evenly. From memory.
	DefaultRate measure.CPerMin = 1.5
	// DefaultLid is the share of the steam that gets past a lid. From memory.
	DefaultLid measure.Ratio = 0.2
	// DefaultLoss is what the outside of a pot loses in still air, W/(m2 K), by
	// radiation and by the air it warms. From memory: 8 to 12.
	DefaultLoss = 10.0
)

// Evaporation from still water into still air is 89 W for each square metre and
// each kPa between the vapour pressure of the water and that of the air:
// w = A (0.089 + 0.0782 v) (pw - pa) / Y kg/s at an air speed v of zero, Y the
// heat of evaporation in kJ/kg (Carrier 1918, as in the ASHRAE Handbook; from
// memory).
const evaporation = 89.0

// Sensible is the heat that warms a bath and the fibre in it by so many
// degrees, in kJ: (water in kg x 4.186 + fibre in kg x its specific heat) x
// degrees. A litre of bath is taken for a kilogram.
func Sensible(water measure.Litre, dry measure.Gram, f Fibre, by measure.Celsius) measure.KJ {
	c := cottonHeat
	if f == Protein {
		c = woolHeat
	}
	return measure.KJ((float64(water)*waterHeat + float64(dry)/1000*c) * float64(by))
}

// Room is the air round the pot.
type Room struct {
	Air      measure.Celsius
	Humidity measure.Ratio
	Open     bool // no lid
}

// Loss is the heat a pot loses while it stands at a temperature, in watts: its
// side and top x DefaultLoss x (bath - air), and the steam from the water's
// face, of which a lid lets DefaultLid past. The pot is taken as high as it is
// wide; its bottom stands over the fire and loses nothing.
func (r Room) Loss(bath measure.Litre, t measure.Celsius) measure.Watt {
	if bath <= 0 || t <= r.Air {
		return 0
	}
	wide := math.Cbrt(4 * float64(bath) / 1000 / math.Pi) // metres
	side, top := math.Pi*wide*wide, math.Pi*wide*wide/4
	dry := DefaultLoss * (side + top) * float64(t-r.Air)
	kPa := (float64(VapourPressure(t)) - float64(r.Humidity)*float64(VapourPressure(r.Air))) / 1000
	steam := evaporation * top * max(0, kPa)
	if !r.Open {
		steam *= float64(DefaultLid)
	}
	return measure.Watt(dry + steam)
}

// Warming is what a temperature curve takes.
type Warming struct {
	Heat    measure.KJ // into the bath, its losses with it
	Lost    measure.KJ // of which went off the pot
	Fire    measure.Minute
	Hottest measure.Celsius
	End     measure.Celsius
}

// Warm follows a curve that begins with the bath at a temperature. Heat is for
// warming the bath and for what the pot loses on the way and in the holds;
// letting a bath cool takes none. The losses of a rise are taken in ten parts.
func (r Room) Warm(bath measure.Litre, dry measure.Gram, f Fibre, start measure.Celsius, curve []Segment) Warming {
	w := Warming{Hottest: start, End: start}
	for _, s := range curve {
		for _, goal := range []measure.Celsius{s.From, s.To} {
			if goal != 0 {
				r.rise(&w, bath, dry, f, goal, s.Rate)
			}
		}
		if s.Hold > 0 && w.End > r.Air { // what is no warmer than the air needs no fire
			lost := r.Loss(bath, w.End).For(s.Hold)
			w.Heat, w.Lost = w.Heat+lost, w.Lost+lost
			w.Fire += s.Hold
		}
	}
	return w
}

// rise brings the bath to a temperature, or lets it cool to it.
func (r Room) rise(w *Warming, bath measure.Litre, dry measure.Gram, f Fibre, goal measure.Celsius, rate measure.CPerMin) {
	if rate <= 0 {
		rate = DefaultRate
	}
	by := goal - w.End
	if by > 0 {
		const parts = 10
		each := measure.Minute(float64(by) / float64(rate) / parts)
		for i := range parts {
			lost := r.Loss(bath, w.End+by*(measure.Celsius(i)+0.5)/parts).For(each)
			w.Heat, w.Lost = w.Heat+lost, w.Lost+lost
		}
		w.Heat += Sensible(bath, dry, f, by)
		w.Fire += each * parts
	}
	w.End = goal
	w.Hottest = max(w.Hottest, goal)
}

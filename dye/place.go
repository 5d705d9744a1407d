package dye

import (
	"urdir/check"
	"urdir/measure"
)

// Defaults of a place, all from memory: mild, and by the sea.
const (
	DefaultWater    measure.Celsius = 20
	DefaultAir      measure.Celsius = 25
	DefaultHumidity measure.Ratio   = 0.6
)

// Place is where the dyeing is done.
type Place struct {
	Height measure.M       // above the sea
	Water  measure.Celsius // as it comes
	Room
	Fuel Fuel
}

// NewPlace is a place with the defaults.
func NewPlace() Place {
	return Place{Water: DefaultWater, Room: Room{Air: DefaultAir, Humidity: DefaultHumidity}}
}

// Check finds what is wrong with a place.
func (p Place) Check() (ps check.Problems) {
	between := func(path string, value, low, high any, ok bool) {
		if !ok {
			ps.Wrong(path, "out-of-range", check.Args{"value": value, "low": low, "high": high})
		}
	}
	const deep = measure.M(-430) // the lowest dry land
	between("height", p.Height, deep, Highest, p.Height >= deep && p.Height <= Highest)
	between("water", p.Water, measure.Celsius(1), measure.Celsius(60), p.Water >= 1 && p.Water <= 60)
	between("air", p.Air, measure.Celsius(1), measure.Celsius(50), p.Air >= 1 && p.Air <= 50)
	between("humidity", p.Humidity, measure.Ratio(0.05), measure.Ratio(1), p.Humidity >= 0.05 && p.Humidity <= 1)
	f := p.Fuel.filled()
	if f.Kind != Wood && f.Kind != LPG {
		ps.Wrong("fuel", "dye-fuel", check.Args{"text": string(f.Kind)})
	}
	between("moisture", f.Moisture, measure.Ratio(0), measure.Ratio(0.6), f.Moisture >= 0 && f.Moisture <= 0.6)
	between("stove", f.Stove, measure.Ratio(0.02), measure.Ratio(1), f.Stove >= 0.02 && f.Stove <= 1)
	return ps
}

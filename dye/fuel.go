package dye

import "urdir/measure"

// FuelKind is what burns under the pot.
type FuelKind string

const (
	Wood FuelKind = "wood"
	LPG  FuelKind = "gas" // bottled propane and butane
)

// Heating values, MJ/kg. Dry wood 19.0, and 2.443 to boil off its water, fit a
// published table (relaiscdo.eu: 0 % 19.00, 20 % 14.72, 40 % 10.44). Propane has
// 46.4 and butane 45.8 (from memory).
const (
	dryWood   = 19.0
	boilOff   = 2.443
	bottleGas = 46.0
)

// Defaults of a fire.
const (
	// DefaultMoisture is firewood kept dry for a season, on its wet weight. From memory.
	DefaultMoisture measure.Ratio = 0.2
	// DefaultWoodStove is the share of the wood's heat that gets into the pot:
	// in use an open fire has 8 to 15 % (from memory: Bussmann, Visser and
	// Prasad 1983), carefully tended and sheltered 20 to 30 % (aprovecho.org).
	DefaultWoodStove measure.Ratio = 0.15
	// DefaultGasStove is the same of a gas ring. From memory: 40 to 60 %.
	DefaultGasStove measure.Ratio = 0.5
)

// Fuel is what burns and how well it is used. Zero values are the defaults.
type Fuel struct {
	Kind     FuelKind
	Moisture measure.Ratio // of wood, on its wet weight
	Stove    measure.Ratio // share of the heat that gets into the pot
}

// filled is the fuel with its defaults.
func (f Fuel) filled() Fuel {
	if f.Kind == "" {
		f.Kind = Wood
	}
	if f.Moisture == 0 && f.Kind == Wood {
		f.Moisture = DefaultMoisture
	}
	if f.Stove == 0 {
		f.Stove = DefaultWoodStove
		if f.Kind == LPG {
			f.Stove = DefaultGasStove
		}
	}
	return f
}

// HeatingValue is the lower heating value of the fuel. Of wood of moisture w on
// its wet weight it is 19.0 (1 - w) - 2.443 w.
func (f Fuel) HeatingValue() measure.MJPerKG {
	f = f.filled()
	if f.Kind == LPG {
		return bottleGas
	}
	w := float64(f.Moisture)
	return measure.MJPerKG(dryWood*(1-w) - boilOff*w)
}

// For is the fuel that gets so much heat into the pot:
// heat / (heating value x share of the stove).
func (f Fuel) For(q measure.KJ) measure.Gram {
	f = f.filled()
	return measure.Gram(float64(q) / (float64(f.HeatingValue()) * float64(f.Stove)))
}

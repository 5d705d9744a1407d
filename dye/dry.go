package dye

import "urdir/measure"

// Defaults of drying, all from memory.
const (
	// DefaultWetness is the water a skein holds after wringing, for its dry weight.
	DefaultWetness measure.Ratio = 1.0
	// DefaultDrying is how long a wrung skein hangs in airy shade at 25 °C and
	// 60 % humidity.
	DefaultDrying measure.Minute = 1440
)

// dampest is the humidity above which nothing dries in a time worth naming.
const dampest measure.Ratio = 0.95

// deficit is what vapour pressure the air lacks to be full, in Pa.
func (r Room) deficit() float64 {
	return (1 - float64(r.Humidity)) * float64(VapourPressure(r.Air))
}

// Drying is the line a lot takes.
type Drying struct {
	Line measure.Gram   `json:"line_g"`   // what hangs on it, wet
	Time measure.Minute `json:"time_min"` // in airy shade
}

// Dry is what hangs on the line and how long: a wrung skein weighs its dry
// weight x (1 + DefaultWetness), and dries in DefaultDrying x the vapour
// pressure the air lacks at 25 °C and 60 % over what it lacks here (evaporation
// goes with that lack: Dalton 1802). Wind and thick skeins change it: a rule of
// thumb, not a measurement. ok is false where the air is too damp.
func (r Room) Dry(m measure.Gram) (d Drying, ok bool) {
	d.Line = m * measure.Gram(1+float64(DefaultWetness))
	if r.Humidity > dampest {
		return d, false
	}
	usual := Room{Air: 25, Humidity: 0.6}
	d.Time = DefaultDrying * measure.Minute(usual.deficit()/r.deficit())
	return d, true
}

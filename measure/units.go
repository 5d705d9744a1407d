package measure

import "strconv"

// CM, MM and M are lengths. A length is finite; the parsers never return NaN or
// infinity.
type (
	CM float64 // centimetres: cloth, warps, bands, frames
	MM float64 // millimetres: thread diameters, floats, paper
	M  float64 // metres: thread on a skein or ball
)

// Gram and the others are mass, density, counts per length, and plain numbers.
type (
	Gram   float64 // grams
	Tex    float64 // grams per 1000 m (ISO 1144)
	PerCM  float64 // ends, picks or wraps per centimetre
	PerM2  float64 // grams per square metre of cloth
	CM3G   float64 // specific volume, cubic centimetres per gram
	Ratio  float64 // a share of one: 0.08, never 8
	M2     float64 // square metres of cloth
	Count  float64 // a count that need not be whole: ends before rounding, half circuits
	Degree float64 // an angle in degrees
)

// Exact conversion constants (international yard and pound agreement, 1959).
const (
	cmPerInch    = 2.54
	cmPerYard    = 91.44
	gramPerOunce = 28.349523125
	gramPerPound = 453.59237
)

// MM is the same length in millimetres.
func (l CM) MM() MM { return MM(l * 10) }

// M is the same length in metres.
func (l CM) M() M { return M(l / 100) }

// CM is the same length in centimetres.
func (l MM) CM() CM { return CM(l / 10) }

// CM is the same length in centimetres.
func (l M) CM() CM { return CM(l * 100) }

// Spacing is the distance between neighbours, in millimetres: 10 / n.
// It is infinite for a density of zero.
func (n PerCM) Spacing() MM { return MM(10 / float64(n)) }

// Mass is the mass of a thread of this linear density and the given length:
// tex x km (ISO 1144).
func (t Tex) Mass(l M) Gram { return Gram(float64(t) * float64(l) / 1000) }

// Length is the thread in a mass of this linear density; zero for zero tex.
func (t Tex) Length(m Gram) M {
	if t == 0 {
		return 0
	}
	return M(float64(m) / float64(t) * 1000)
}

// The JSON form of a quantity is a number rounded to what can be meant: the
// last bits of a float differ between machines, a plan must not.

func (l CM) MarshalJSON() ([]byte, error)     { return rounded(float64(l), 3), nil }
func (l MM) MarshalJSON() ([]byte, error)     { return rounded(float64(l), 3), nil }
func (l M) MarshalJSON() ([]byte, error)      { return rounded(float64(l), 2), nil }
func (m Gram) MarshalJSON() ([]byte, error)   { return rounded(float64(m), 2), nil }
func (t Tex) MarshalJSON() ([]byte, error)    { return rounded(float64(t), 3), nil }
func (n PerCM) MarshalJSON() ([]byte, error)  { return rounded(float64(n), 3), nil }
func (w PerM2) MarshalJSON() ([]byte, error)  { return rounded(float64(w), 2), nil }
func (v CM3G) MarshalJSON() ([]byte, error)   { return rounded(float64(v), 4), nil }
func (r Ratio) MarshalJSON() ([]byte, error)  { return rounded(float64(r), 5), nil }
func (a M2) MarshalJSON() ([]byte, error)     { return rounded(float64(a), 4), nil }
func (n Count) MarshalJSON() ([]byte, error)  { return rounded(float64(n), 3), nil }
func (a Degree) MarshalJSON() ([]byte, error) { return rounded(float64(a), 3), nil }

// rounded prints v with at most the given decimals and no trailing zeros.
func rounded(v float64, decimals int) []byte {
	b := strconv.AppendFloat(nil, v, 'f', decimals, 64)
	for decimals > 0 && b[len(b)-1] == '0' {
		b = b[:len(b)-1]
		decimals--
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b) == "-0" {
		return []byte("0")
	}
	return b
}

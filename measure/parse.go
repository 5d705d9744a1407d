package measure

import (
	"math"
	"strconv"
	"strings"
)

// ParseError says why a quantity could not be read. Code is one of
// "quantity-empty", "quantity-number", "quantity-comma", "quantity-no-unit",
// "quantity-unit" and "quantity-range".
type ParseError struct {
	Code string
	Text string // what was written
	Unit string // the unit written, for quantity-unit
	Want string // units that would do, for quantity-no-unit and quantity-unit
}

func (e *ParseError) Error() string {
	return e.Code + ": " + strconv.Quote(e.Text) + " (units: " + e.Want + ")"
}

// unit maps the spellings of one kind of quantity to the factor that turns the
// number into the base unit.
type units struct {
	factor map[string]float64
	want   string
}

var (
	lengths = units{map[string]float64{"mm": 0.1, "cm": 1, "m": 100, "in": cmPerInch, "yd": cmPerYard}, "mm, cm, m, in, yd"}
	masses  = units{map[string]float64{"g": 1, "kg": 1000, "oz": gramPerOunce, "lb": gramPerPound}, "g, kg, oz, lb"}
	setts   = units{map[string]float64{"/cm": 1, "/in": 1 / cmPerInch}, "/cm, /in"}
	shares  = units{map[string]float64{"%": 0.01}, "%"}
	volumes = units{map[string]float64{"cm3/g": 1}, "cm3/g"}
)

// maxNumber bounds what a person can mean: a kilometre of warp, a tonne of yarn.
const maxNumber = 1e7

// ParseLength reads "32 cm", "1.8 m", "12 in". The unit is required.
func ParseLength(s string) (CM, error) { v, err := lengths.parse(s); return CM(v), err }

// ParseDiameter reads a length and returns it in millimetres.
func ParseDiameter(s string) (MM, error) { v, err := lengths.parse(s); return CM(v).MM(), err }

// ParseMass reads "250 g", "1 kg", "8 oz".
func ParseMass(s string) (Gram, error) { v, err := masses.parse(s); return Gram(v), err }

// ParseDensity reads "20 /cm" or "50 /in": ends, picks or wraps per length.
func ParseDensity(s string) (PerCM, error) { v, err := setts.parse(s); return PerCM(v), err }

// ParseShare reads "8 %".
func ParseShare(s string) (Ratio, error) { v, err := shares.parse(s); return Ratio(v), err }

// ParseSpecificVolume reads "1.1 cm3/g".
func ParseSpecificVolume(s string) (CM3G, error) { v, err := volumes.parse(s); return CM3G(v), err }

func (u units) parse(s string) (float64, error) {
	number, unit := splitUnit(s)
	v, code := ParseNumber(number)
	if code != "" {
		return 0, &ParseError{Code: code, Text: s, Want: u.want}
	}
	if unit == "" {
		return 0, &ParseError{Code: "quantity-no-unit", Text: s, Want: u.want}
	}
	f, ok := u.factor[unit]
	if !ok {
		return 0, &ParseError{Code: "quantity-unit", Text: s, Unit: unit, Want: u.want}
	}
	if f < 1 { // 70 % is 70/100 to the last bit, which 70 x 0.01 is not
		return v / (1 / f), nil
	}
	return v * f, nil
}

// splitUnit cuts "20 /cm" into "20" and "/cm". "per cm" and "por cm" read as
// "/cm", and spaces inside the unit are dropped.
func splitUnit(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	i := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.,+-", r) })
	if i < 0 {
		return s, ""
	}
	unit = strings.ToLower(strings.Join(strings.Fields(s[i:]), " "))
	for _, per := range []string{"per ", "por ", "/ "} {
		unit = strings.Replace(unit, per, "/", 1)
	}
	unit = strings.TrimPrefix(unit, " ")
	return strings.TrimSpace(s[:i]), unit
}

// ParseNumber reads a decimal number with a point or a comma. Code is empty
// when the number is good, else one of the codes of ParseError. A comma before
// exactly three digits is refused: "1,500" is read both ways in the places
// where cloth is made.
func ParseNumber(s string) (v float64, code string) {
	switch {
	case s == "":
		return 0, "quantity-empty"
	case strings.Count(s, ",") == 1 && !strings.Contains(s, "."):
		if len(s)-strings.Index(s, ",") == 4 {
			return 0, "quantity-comma"
		}
		s = strings.Replace(s, ",", ".", 1)
	case strings.Contains(s, ","):
		return 0, "quantity-comma"
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, "quantity-number"
	}
	if math.Abs(v) > maxNumber {
		return 0, "quantity-range"
	}
	return v, ""
}

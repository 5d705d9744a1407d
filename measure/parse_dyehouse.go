package measure

import "strings"

var (
	litres     = units{map[string]float64{"l": 1, "ml": 0.001}, "L, mL"}
	times      = units{map[string]float64{"min": 1, "h": 60, "d": 1440}, "min, h, d"}
	strengths  = units{map[string]float64{"g/l": 1}, "g/L"}
	mlPerLitre = units{map[string]float64{"ml/l": 1}, "mL/L"}
	mlPerKG    = units{map[string]float64{"ml/kg": 1}, "mL/kg"}
	liquors    = units{map[string]float64{"l/kg": 1}, "L/kg"}
	degrees    = units{map[string]float64{"°c": 1, "c": 1, "°f": 1, "f": 1}, "°C, °F"}
	rates      = units{map[string]float64{"°c/min": 1, "c/min": 1}, "°C/min"}
)

// ParseLitres reads "40 L" or "500 mL".
func ParseLitres(s string) (Litre, error) { v, err := litres.parse(s); return Litre(v), err }

// ParseMinutes reads "45 min", "2 h" or "3 d".
func ParseMinutes(s string) (Minute, error) { v, err := times.parse(s); return Minute(v), err }

// ParsePerLitre reads "5 g/L".
func ParsePerLitre(s string) (PerLitre, error) { v, err := strengths.parse(s); return PerLitre(v), err }

// ParseMLPerLitre reads "10 mL/L".
func ParseMLPerLitre(s string) (MLPerLitre, error) {
	v, err := mlPerLitre.parse(s)
	return MLPerLitre(v), err
}

// ParseMLPerKG reads "20 mL/kg": of a liquid, for a kilogram of fibre.
func ParseMLPerKG(s string) (MLPerKG, error) { v, err := mlPerKG.parse(s); return MLPerKG(v), err }

// ParseLiquor reads a liquor ratio, "30 L/kg".
func ParseLiquor(s string) (LPerKG, error) { v, err := liquors.parse(s); return LPerKG(v), err }

// ParseCelsius reads "60 °C" or "140 °F".
func ParseCelsius(s string) (Celsius, error) {
	v, err := degrees.parse(s)
	if err == nil && strings.HasSuffix(strings.ToLower(strings.TrimSpace(s)), "f") {
		v = (v - 32) * 5 / 9
	}
	return Celsius(v), err
}

// ParseRate reads how fast a bath grows warm, "1.5 °C/min".
func ParseRate(s string) (CPerMin, error) { v, err := rates.parse(s); return CPerMin(v), err }

package measure_test

import (
	"errors"
	"math"
	"testing"

	"urdir/measure"
)

func equals[T ~float64](t *testing.T, what string, got T, err error, want float64) {
	t.Helper()
	if err != nil || math.Abs(float64(got)-want) > 1e-9 {
		t.Errorf("%s = %v, %v; want %v", what, got, err, want)
	}
}

func TestParse_dyehouse(t *testing.T) {
	v, err := measure.ParseLitres("40L")
	equals(t, "40L", v, err, 40)
	v, err = measure.ParseLitres("750 mL")
	equals(t, "750 mL", v, err, 0.75)
	m, err := measure.ParseMinutes("1,5 h")
	equals(t, "1,5 h", m, err, 90)
	m, err = measure.ParseMinutes("2 d")
	equals(t, "2 d", m, err, 2880)
	g, err := measure.ParsePerLitre("5 g/L")
	equals(t, "5 g/L", g, err, 5)
	ml, err := measure.ParseMLPerLitre("10 mL/L")
	equals(t, "10 mL/L", ml, err, 10)
	mk, err := measure.ParseMLPerKG("22 mL/kg")
	equals(t, "22 mL/kg", mk, err, 22)
	r, err := measure.ParseLiquor("30 L/kg")
	equals(t, "30 L/kg", r, err, 30)
	c, err := measure.ParseRate("1.5 °C/min")
	equals(t, "1.5 °C/min", c, err, 1.5)
}

// The Fahrenheit scale: 32 is where water freezes, 212 where it boils, both by
// its definition.
func TestParseCelsius(t *testing.T) {
	for in, want := range map[string]float64{"60 °C": 60, "60C": 60, "212 °F": 100, "32 f": 0, "140°F": 60, "-5 °C": -5} {
		got, err := measure.ParseCelsius(in)
		equals(t, in, got, err, want)
	}
	for in, want := range map[string]string{"60": "quantity-no-unit", "60 K": "quantity-unit", "": "quantity-empty"} {
		_, err := measure.ParseCelsius(in)
		if pe, ok := errors.AsType[*measure.ParseError](err); !ok || pe.Code != want {
			t.Errorf("%q: %v, want %s", in, err, want)
		}
	}
}

func TestDyehouse_products(t *testing.T) {
	equals(t, "30 L/kg of 800 g", measure.LPerKG(30).For(800), nil, 24)
	equals(t, "500 W for an hour", measure.Watt(500).For(measure.Hour), nil, 1800)
}

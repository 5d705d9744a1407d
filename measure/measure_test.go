package measure_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"urdir/measure"
)

func TestParseLength(t *testing.T) {
	// Inch and yard are exact by the international agreement of 1959.
	for in, want := range map[string]measure.CM{
		"32 cm": 32, "32cm": 32, "1.8 m": 180, "1,8 m": 180, "5 mm": 0.5,
		"10 in": 25.4, "2 yd": 182.88, " 7 CM ": 7, "-3 cm": -3,
	} {
		got, err := measure.ParseLength(in)
		if err != nil || math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("ParseLength(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
}

func TestParse_refusals(t *testing.T) {
	for in, want := range map[string]string{
		"": "quantity-empty", "cm": "quantity-empty", "32": "quantity-no-unit",
		"32 kg": "quantity-unit", "1,500 m": "quantity-comma", "1.000,5 m": "quantity-comma",
		"1-2 cm": "quantity-number", "99999999 cm": "quantity-range", "..": "quantity-number",
	} {
		_, err := measure.ParseLength(in)
		var pe *measure.ParseError
		if !errors.As(err, &pe) || pe.Code != want {
			t.Errorf("ParseLength(%q): %v; want code %s", in, err, want)
		}
	}
}

func TestParseDensity_inchesAndWords(t *testing.T) {
	for in, want := range map[string]measure.PerCM{"20 /cm": 20, "20/cm": 20, "20 per cm": 20, "20 por cm": 20, "50.8 /in": 20} {
		got, err := measure.ParseDensity(in)
		if err != nil || math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("ParseDensity(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
}

func TestParseOthers(t *testing.T) {
	if m, err := measure.ParseMass("2 lb"); err != nil || math.Abs(float64(m)-907.18474) > 1e-9 {
		t.Errorf("2 lb = %v, %v", m, err)
	}
	if r, err := measure.ParseShare("8 %"); err != nil || r != 0.08 {
		t.Errorf("8 %% = %v, %v", r, err)
	}
	if d, err := measure.ParseDiameter("0.45 mm"); err != nil || math.Abs(float64(d)-0.45) > 1e-12 {
		t.Errorf("0.45 mm = %v, %v", d, err)
	}
	if v, err := measure.ParseSpecificVolume("1.1 cm3/g"); err != nil || v != 1.1 {
		t.Errorf("1.1 cm3/g = %v, %v", v, err)
	}
}

func TestTexMassAndLengthAreInverse(t *testing.T) {
	// ISO 1144: tex is grams per kilometre.
	tx := measure.Tex(30)
	if m := tx.Mass(1000); m != 30 {
		t.Errorf("1000 m of 30 tex = %v g", m)
	}
	if l := tx.Length(30); l != 1000 {
		t.Errorf("30 g of 30 tex = %v m", l)
	}
	if l := measure.Tex(0).Length(30); l != 0 {
		t.Errorf("zero tex gives %v m", l)
	}
}

func TestJSON_isRoundedAndStable(t *testing.T) {
	b, err := json.Marshal([]any{measure.CM(0.1 + 0.2), measure.CM(12), measure.Ratio(1.0 / 3), measure.MM(-0.00001), measure.Gram(100)})
	if err != nil || string(b) != "[0.3,12,0.33333,0,100]" {
		t.Errorf("json = %s, %v", b, err)
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"32 cm", "1,5 m", "1,500 m", "", "9e99 cm", "∞ cm", "3 / cm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := measure.ParseLength(s)
		if err == nil && (math.IsNaN(float64(v)) || math.IsInf(float64(v), 0)) {
			t.Errorf("ParseLength(%q) = %v", s, v)
		}
		measure.ParseDensity(s)
		measure.ParseMass(s)
		measure.ParseShare(s)
	})
}

package lang_test

import (
	"math"
	"testing"
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/price"
)

// Decimal and grouping signs are those of CLDR's number symbols: es "," and
// ".", es-MX, es-PE and es-419 "." and ",", es-AR as es. That Spanish leaves
// four digits together is CLDR's minimumGroupingDigits of 2 (from memory).
func TestNum_byCountry(t *testing.T) {
	for _, test := range []struct {
		lang     string
		v        float64
		decimals int
		want     string
	}{
		{"es", 1234.5, 1, "1234,5"},
		{"es", 12345.6, 1, "12.345,6"},
		{"es", 9999.96, 1, "10.000"},
		{"es", -1234.5, 1, "-1234,5"},
		{"es-AR", 12345.6, 1, "12.345,6"},
		{"es-MX", 1234.5, 1, "1234.5"},
		{"es-MX", 12345.6, 1, "12,345.6"},
		{"es-PE", 12345.6, 1, "12,345.6"},
		{"es-419", 12345.6, 1, "12,345.6"},
		{"en", 1234.5, 1, "1,234.5"},
		{"en", 2, 1, "2"},
		{"en", -0.04, 1, "0"},
		{"en", math.Copysign(0, -1), 1, "0"},
	} {
		if got := words(t, test.lang).Num(test.v, test.decimals); got != test.want {
			t.Errorf("%s: Num(%v, %d) = %q; want %q", test.lang, test.v, test.decimals, got, test.want)
		}
	}
	if got := words(t, "es").Fixed(2, 2); got != "2,00" {
		t.Errorf("Fixed(2, 2) = %q", got)
	}
}

// \u202f is the narrow no-break space.
func TestValue_tradeRounding(t *testing.T) {
	w := words(t, "es")
	for _, test := range []struct {
		v    any
		want string
	}{
		{measure.CM(342.04), "342\u202fcm"},
		{measure.CM(28.26), "28,3\u202fcm"},
		{measure.MM(0.4067), "0,41\u202fmm"},
		{measure.M(9.26), "9,3\u202fm"},
		{measure.M(1693.4), "1693\u202fm"},
		{measure.Gram(4.25), "4,2\u202fg"}, // 4.25 is a tie: to even
		{measure.Gram(29.5), "30\u202fg"},
		{measure.Gram(1234), "1,23\u202fkg"},
		{measure.Tex(118.108), "118,1\u202ftex"},
		{measure.PerCM(24.6), "24,6\u202f/cm"},
		{measure.PerM2(312.4), "312\u202fg/m²"},
		{measure.CM3G(1.1), "1,1\u202fcm³/g"},
		{measure.Ratio(0.0831), "8,3\u202f%"},
		{measure.Degree(30.04), "30°"},
		{measure.Count(2.5), "2,5"},
		{measure.Litre(24.04), "24\u202fL"},
		{measure.Litre(0.0176), "18\u202fmL"},
		{measure.Celsius(95.96), "96\u202f°C"},
		{measure.KJ(6697.6), "6,7\u202fMJ"},
		{measure.KJ(642), "642\u202fkJ"},
		{measure.Minute(45), "45\u202fmin"},
		{measure.Minute(90), "1\u202fh 30\u202fmin"},
		{measure.Minute(720), "12\u202fh"},
		{measure.Minute(3300), "2\u202fd 7\u202fh"},
		{measure.Minute(43200), "30\u202fd"},
		{measure.Minute(-5), "-5\u202fmin"},
		{measure.PerLitre(3.333), "3,33\u202fg/L"},
		{measure.MLPerLitre(5), "5\u202fmL/L"},
		{measure.MLPerKG(22), "22\u202fmL/kg"},
		{measure.LPerKG(30), "30\u202fL/kg"},
		{measure.CPerMin(1.5), "1,5\u202f°C/min"},
		{[]string{"a", "b"}, "a, b"},
		{"Ne 20/2", "Ne 20/2"},
		{price.Money{Minor: 125050, Currency: "USD"}, "1250,50\u00a0USD"},
		{price.PerCent(20), "20\u202f%"},
		{12345, "12.345"},
		{1.255, "1,25"}, // the float next to 1.255 lies below it
	} {
		if got := w.S(test.v); got != test.want {
			t.Errorf("S(%T %v) = %q; want %q", test.v, test.v, got, test.want)
		}
	}
	for m, want := range map[measure.Gram]string{0.256: "0,26\u202fg", 35.24: "35,2\u202fg", 120: "120\u202fg", 1234: "1,23\u202fkg"} {
		if got := w.Weight(m); got != want {
			t.Errorf("Weight(%v) = %q; want %q", m, got, want)
		}
	}
	if got := w.Long(342); got != "3,42\u202fm" {
		t.Errorf("Long(342 cm) = %q", got)
	}
}

func TestT_writesQuantities(t *testing.T) {
	what, mend := words(t, "es").Problem(check.Problem{Code: "yarn-tex", Args: check.Args{"tex": measure.Tex(20500.25)}})
	if want := "20.500,2\u202ftex no es hilo para telar."; what != want {
		t.Errorf("what = %q; want %q", what, want)
	}
	if mend == "" || mend[0] == '[' {
		t.Errorf("mend = %q", mend)
	}
}

func TestDate(t *testing.T) {
	d := time.Date(2027, 3, 14, 0, 0, 0, 0, time.UTC)
	for lang, want := range map[string]string{"en": "14 March 2027", "es": "14 de marzo de 2027"} {
		if got := words(t, lang).Date(d); got != want {
			t.Errorf("%s: %q; want %q", lang, got, want)
		}
	}
}

package lang

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/number"

	"urdir/measure"
)

// A thin space that does not break keeps a number and its unit together.
const gap = "\u202f"

// Num writes a number with at most so many decimals.
func (w *Words) Num(v float64, decimals int) string {
	if v == 0 || math.Abs(v) < math.Pow(10, -float64(decimals))/2 {
		v = 0 // never "-0"
	}
	return w.print(v, number.MaxFractionDigits(decimals))
}

// Fixed writes a number with just so many decimals, for columns.
func (w *Words) Fixed(v float64, decimals int) string {
	return w.print(v, number.Scale(decimals))
}

// Int writes a whole number.
func (w *Words) Int(n int) string {
	if w.digits && n >= 0 && n < 1000 { // most are: nothing to group
		return strconv.Itoa(n)
	}
	return w.print(float64(n), number.Scale(0))
}

// print leaves four digits together in Spanish: 1234 but 12.345. CLDR says so
// (minimumGroupingDigits 2 for es), the printer does not know it, and a
// Spanish "1.234 g" copied into a cloth file would read as little more than a
// gram.
func (w *Words) print(v float64, o ...number.Option) string {
	if w.Base == "es" && math.Abs(v) < 9999.5 {
		o = append(o, number.NoSeparator())
	}
	return w.printer.Sprint(number.Decimal(v, o...))
}

// S writes a quantity with its unit and the decimals the trade uses; plain texts
// pass through.
func (w *Words) S(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case interface{ In(tag string) string }: // money: its formats are a library's, which the designer in the browser does without
		return v.In(w.Tag)
	case []string:
		return strings.Join(v, ", ")
	case int:
		return w.Int(v)
	case float64:
		return w.Num(v, 2)
	case measure.CM:
		return w.Num(float64(v), 1) + gap + "cm"
	case measure.MM:
		return w.Num(float64(v), 2) + gap + "mm"
	case measure.M:
		return w.Num(float64(v), decimalsFor(float64(v))) + gap + "m"
	case measure.Gram:
		if v >= 1000 {
			return w.Num(float64(v)/1000, 2) + gap + "kg"
		}
		return w.Num(float64(v), decimalsFor(float64(v))) + gap + "g"
	case measure.Tex:
		return w.Num(float64(v), 1) + gap + "tex"
	case measure.PerCM:
		return w.Num(float64(v), 1) + gap + "/cm"
	case measure.PerM2:
		return w.Num(float64(v), 0) + gap + "g/m²"
	case measure.CM3G:
		return w.Num(float64(v), 2) + gap + "cm³/g"
	case measure.Ratio:
		return w.Num(float64(v)*100, 1) + gap + "%"
	case measure.Degree:
		return w.Num(float64(v), 1) + "°"
	case measure.Count:
		return w.Num(float64(v), 2)
	}
	return w.dyehouse(v)
}

// dyehouse writes the quantities of the dye house.
func (w *Words) dyehouse(v any) string {
	switch v := v.(type) {
	case measure.Litre:
		if v < 1 && v > -1 {
			return w.Num(float64(v)*1000, 0) + gap + "mL"
		}
		return w.Num(float64(v), 1) + gap + "L"
	case measure.Celsius:
		return w.Num(float64(v), 1) + gap + "°C"
	case measure.KJ:
		if v >= 1000 {
			return w.Num(float64(v)/1000, 1) + gap + "MJ"
		}
		return w.Num(float64(v), 0) + gap + "kJ"
	case measure.Minute:
		return w.time(v)
	case measure.PerLitre:
		return w.Num(float64(v), 2) + gap + "g/L"
	case measure.MLPerLitre:
		return w.Num(float64(v), 1) + gap + "mL/L"
	case measure.MLPerKG:
		return w.Num(float64(v), 1) + gap + "mL/kg"
	case measure.LPerKG:
		return w.Num(float64(v), 1) + gap + "L/kg"
	case measure.CPerMin:
		return w.Num(float64(v), 1) + gap + "°C/min"
	}
	return fmt.Sprint(v)
}

// time writes a time in minutes, hours or days, to the minute and, from two days
// on, to the hour: 45 min, 1 h 30 min, 2 d 6 h.
func (w *Words) time(t measure.Minute) string {
	if t < 0 {
		return "-" + w.time(-t)
	}
	part := func(n int, unit string) string { return w.Int(n) + gap + unit }
	n := int(math.Round(float64(t)))
	big, small, per := "h", "min", 60
	switch {
	case n < 60:
		return part(n, "min")
	case n >= 2*24*60:
		big, small, per, n = "d", "h", 24, int(math.Round(float64(t)/60))
	}
	if n%per == 0 {
		return part(n/per, big)
	}
	return part(n/per, big) + " " + part(n%per, small)
}

// Weight writes what is weighed out for a bath, to a tenth of a gram where that
// counts; the balances of dye houses show no more.
func (w *Words) Weight(m measure.Gram) string {
	switch {
	case m < 1:
		return w.Num(float64(m), 2) + gap + "g"
	case m < 100:
		return w.Num(float64(m), 1) + gap + "g"
	}
	return w.S(m)
}

// Long writes a long warp in metres, to the centimetre.
func (w *Words) Long(l measure.CM) string { return w.Fixed(float64(l.M()), 2) + gap + "m" }

// decimalsFor keeps about three figures: small amounts to a tenth.
func decimalsFor(v float64) int {
	if math.Abs(v) < 10 {
		return 1
	}
	return 0
}

// Date writes a date like 14 March 2027 or 14 de marzo de 2027.
func (w *Words) Date(d time.Time) string {
	return w.T("date", map[string]any{
		"day": fmt.Sprint(d.Day()), "month": w.T(fmt.Sprintf("month-%d", d.Month()), nil), "year": fmt.Sprint(d.Year())})
}

package dye_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/measure"
)

func day(y, m, d int) dye.Day { return dye.Day{Year: y, Month: m, Day: d} }

// Meeus, Astronomical Algorithms, 2nd ed., from memory: examples 49.a (new moon
// of February 1977) and 49.b (last quarter of January 2044), 7.a and the table
// of ch. 7 (Julian days), 48.a (12 April 1992, 0 h: angle 68.88° by the short
// series).
func TestMoon_meeus(t *testing.T) {
	for k, want := range map[float64]float64{-283: 2443192.65118, 544.75: 2467636.49186} {
		if got := dye.PhaseInstant(k); math.Abs(got-want) > 0.00001 {
			t.Errorf("phase %v at %.5f, want %.5f", k, got, want)
		}
	}
	for d, want := range map[dye.Day]float64{day(1957, 10, 4): 2436115.5, day(2000, 1, 1): 2451544.5, day(1999, 1, 1): 2451179.5, day(1900, 1, 1): 2415020.5, day(1988, 6, 19): 2447331.5} {
		if got := d.JulianDay(); got != want {
			t.Errorf("%v is Julian day %.1f, want %.1f", d, got, want)
		}
	}
	want := (1 + math.Cos(68.88*math.Pi/180)) / 2
	if got := float64(dye.Illuminated(2448724.5)); math.Abs(got-want) > 0.0001 {
		t.Errorf("12 April 1992: %.5f lit, want %.5f", got, want)
	}
}

// An eclipse of the sun is at new moon and one of the moon at full moon; the
// days (universal time) stand in the eclipse lists of every almanac, here from
// memory.
func TestMoonOn_eclipses(t *testing.T) {
	for _, d := range []dye.Day{day(1999, 8, 11), day(2017, 8, 21), day(2019, 7, 2), day(2020, 6, 21), day(2020, 12, 14), day(2023, 10, 14), day(2024, 4, 8), day(2027, 8, 2)} {
		if got := dye.MoonOn(d, 0); got.Phase != dye.NewMoon || got.Lit > 0.02 {
			t.Errorf("%v, eclipse of the sun: %v, lit %.3f", d, got.Phase, float64(got.Lit))
		}
	}
	for _, d := range []dye.Day{day(2000, 1, 21), day(2015, 9, 28), day(2018, 7, 27), day(2019, 1, 21), day(2022, 5, 16), day(2022, 11, 8), day(2025, 3, 14), day(2025, 9, 7)} {
		if got := dye.MoonOn(d, 0); got.Phase != dye.FullMoon || got.Lit < 0.98 {
			t.Errorf("%v, eclipse of the moon: %v, lit %.3f", d, got.Phase, float64(got.Lit))
		}
	}
}

// The new moon of 8 April 2024, 18:21 universal time, is on the 9th where clocks
// are six hours ahead or more, and on the 8th elsewhere.
func TestMoonOn_clocks(t *testing.T) {
	for ahead, want := range map[measure.Minute]dye.Phase{-6 * measure.Hour: dye.NewMoon, 5 * measure.Hour: dye.NewMoon, 6 * measure.Hour: dye.WaningCrescent, 9 * measure.Hour: dye.WaningCrescent} {
		if got := dye.MoonOn(day(2024, 4, 8), ahead).Phase; got != want {
			t.Errorf("%v ahead: %s, want %s", ahead, got, want)
		}
	}
}

// In every month of every year each phase comes, in order, and a principal phase
// never lasts over a day.
func TestMoonOn_order(t *testing.T) {
	order := []dye.Phase{dye.NewMoon, dye.WaxingCrescent, dye.FirstQuarter, dye.WaxingGibbous, dye.FullMoon, dye.WaningGibbous, dye.LastQuarter, dye.WaningCrescent}
	at := map[dye.Phase]int{}
	for i, p := range order {
		at[p] = i
	}
	rapid.Check(t, func(t *rapid.T) {
		year, month := rapid.IntRange(1900, 2100).Draw(t, "year"), rapid.IntRange(1, 12).Draw(t, "month")
		ahead := measure.Minute(rapid.IntRange(-12, 14).Draw(t, "hours")) * measure.Hour
		before := -1
		for n := 1; n <= 28; n++ {
			here, ok := at[dye.MoonOn(day(year, month, n), ahead).Phase]
			if !ok {
				t.Fatalf("day %d has no phase", n)
			}
			same := here == before && here%2 == 1
			if before >= 0 && !same && here != (before+1)%8 {
				t.Fatalf("%d-%d-%d: %s after %s", year, month, n, order[here], order[before])
			}
			before = here
		}
	})
}

func ExampleMoonOn() {
	m := dye.MoonOn(day(2024, 4, 8), -6*measure.Hour)
	fmt.Printf("%s, %.0f %% lit\n", m.Phase, 100*m.Lit)
	// Output: new, 0 % lit
}

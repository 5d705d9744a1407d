package dye

import (
	"math"

	"urdir/measure"
)

// Phase is a name of the moon.
type Phase string

const (
	NewMoon        Phase = "new"
	WaxingCrescent Phase = "waxing-crescent"
	FirstQuarter   Phase = "first-quarter"
	WaxingGibbous  Phase = "waxing-gibbous"
	FullMoon       Phase = "full"
	WaningGibbous  Phase = "waning-gibbous"
	LastQuarter    Phase = "last-quarter"
	WaningCrescent Phase = "waning-crescent"
)

// principal and between are the phases in their order: quarter k is followed by
// the days of between k.
var (
	principal = [4]Phase{NewMoon, FirstQuarter, FullMoon, LastQuarter}
	between   = [4]Phase{WaxingCrescent, WaxingGibbous, WaningGibbous, WaningCrescent}
)

// Day is a day of the Gregorian calendar.
type Day struct{ Year, Month, Day int }

// JulianDay is the Julian day on which a day of the Gregorian calendar begins,
// at 0 h (Meeus, Astronomical Algorithms, 2nd ed. 1998, ch. 7).
func (d Day) JulianDay() float64 {
	y, m := d.Year, d.Month
	if m <= 2 {
		y, m = y-1, m+12
	}
	century := math.Floor(float64(y) / 100)
	leap := 2 - century + math.Floor(century/4)
	return math.Floor(365.25*float64(y+4716)) + math.Floor(30.6001*float64(m+1)) + float64(d.Day) + leap - 1524.5
}

// Moon is the moon of a day.
type Moon struct {
	Phase Phase         `json:"phase"`
	Lit   measure.Ratio `json:"lit_fraction"` // at noon
}

// MoonOn is the moon of a day where clocks are so far ahead of universal time
// (behind it: negative). A day on which the moon is new, full or at a quarter
// has that name; the days between have the names between. Good for the years
// 1900 to 2100.
func MoonOn(d Day, ahead measure.Minute) Moon {
	start := d.JulianDay() - float64(ahead)/1440
	// A month has 29.53 days; two quarters before the mean one is early enough.
	k := math.Floor(4*lunation(start))/4 - 0.5
	out := Moon{Lit: Illuminated(start + 0.5 + deltaT(d.Year))}
	for {
		next := PhaseInstant(k+0.25) - deltaT(d.Year)
		switch {
		case next < start:
			k += 0.25
			continue
		case next < start+1:
			out.Phase = principal[quarter(k+0.25)]
		default:
			out.Phase = between[quarter(k)]
		}
		return out
	}
}

// lunation is the mean number of months since the new moon of 6 January 2000.
func lunation(jd float64) float64 { return (jd - 2451550.09766) / 29.530588861 }

// quarter is 0 for a new moon, 1 for the first quarter, 2 for full, 3 for last.
func quarter(k float64) int { return (int(math.Round(4*k))%4 + 4) % 4 }

// deltaT is what dynamical time is ahead of universal time, in days: 62.92 s +
// 0.32217 t + 0.005589 t2, t in years from 2000 (Espenak and Meeus 2006, for
// 2005 to 2050; from memory). From 1900 to 2100 it is wrong by less than three
// minutes.
func deltaT(year int) float64 {
	t := float64(year - 2000)
	return (62.92 + 0.32217*t + 0.005589*t*t) / 86400
}

// Illuminated is the part of the moon's disc that is lit, (1 + cos i) / 2, i the
// angle at the moon between sun and earth by the short series of Meeus,
// Astronomical Algorithms, ch. 48, (48.4); good to half a hundredth. The
// argument is a Julian day in dynamical time.
func Illuminated(jde float64) measure.Ratio {
	t := (jde - 2451545) / 36525
	d := 297.8501921 + t*(445267.1114034+t*(-0.0018819+t*(1/545868.0-t/113065000)))
	m := 357.5291092 + t*(35999.0502909+t*(-0.0001536+t/24490000))
	moon := 134.9633964 + t*(477198.8675055+t*(0.0087414+t*(1/69699.0-t/14712000)))
	i := 180 - math.Mod(d, 360) - 6.289*sin(moon) + 2.1*sin(m) - 1.274*sin(2*d-moon) - 0.658*sin(2*d) - 0.214*sin(2*moon) - 0.11*sin(d)
	return measure.Ratio((1 + cos(i)) / 2)
}

func sin(degrees float64) float64 { return math.Sin(math.Mod(degrees, 360) * math.Pi / 180) }
func cos(degrees float64) float64 { return math.Cos(math.Mod(degrees, 360) * math.Pi / 180) }

package dye

import (
	"math"

	"urdir/measure"
)

// Highest is the greatest altitude the program reckons with; people do not
// live higher.
const Highest measure.M = 5500

// AirPressure is that of the standard atmosphere at a height above the sea,
// up to 11 km: p = 101325 (1 - 2.25577e-5 h)^5.25588 Pa, h in metres
// (ISO 2533:1975, geopotential height). Weather moves it by 2 % and the boiling
// point by half a degree.
func AirPressure(height measure.M) measure.Pascal {
	return measure.Pascal(101325 * math.Pow(1-2.25577e-5*float64(height), 5.25588))
}

// Of the critical point of water, and the coefficients of the equation.
const (
	criticalKelvin = 647.096
	criticalPascal = 22.064e6
	zeroKelvin     = 273.15 // 0 °C
)

var saturation = [...]struct{ a, n float64 }{
	{-7.85951783, 1}, {1.84408259, 1.5}, {-11.7866497, 3}, {22.6807411, 3.5}, {-15.9618719, 4}, {1.80122502, 7.5},
}

// VapourPressure is the saturation pressure of water:
// ln(p/pc) = (Tc/T) sum(a v^n), v = 1 - T/Tc (Wagner and Pruss, J. Phys. Chem.
// Ref. Data 1993, 22, 783; the IAPWS supplementary release on saturation).
func VapourPressure(t measure.Celsius) measure.Pascal {
	kelvin := float64(t) + zeroKelvin
	v, sum := 1-kelvin/criticalKelvin, 0.0
	for _, c := range saturation {
		sum += c.a * math.Pow(v, c.n)
	}
	return measure.Pascal(criticalPascal * math.Exp(criticalKelvin/kelvin*sum))
}

// BoilingPoint is where water boils at a height above the sea: where its
// vapour pressure is that of the air. What is dissolved in a dye bath raises it
// by less than a tenth of a degree.
func BoilingPoint(height measure.M) measure.Celsius {
	want := AirPressure(min(max(height, -500), Highest))
	low, high := measure.Celsius(60), measure.Celsius(110)
	for range 60 {
		middle := (low + high) / 2
		if VapourPressure(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

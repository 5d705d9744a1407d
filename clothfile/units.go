package clothfile

import (
	"urdir/internal/yamlfile"
	"urdir/measure"
)

// Quantities are written in the first of the units that gives a short number.

func length(v measure.CM) string {
	return yamlfile.Quantity(v, measure.ParseLength, "cm", "mm", "m", "in", "yd")
}

func float(v measure.MM) string {
	return yamlfile.Quantity(v, measure.ParseDiameter, "mm", "cm", "m", "in", "yd")
}

func skeinLength(v measure.M) string {
	return yamlfile.Quantity(v, parseMetres, "m", "cm", "mm", "yd", "in")
}

func mass(v measure.Gram) string {
	return yamlfile.Quantity(v, measure.ParseMass, "g", "kg", "oz", "lb")
}

func density(v measure.PerCM) string {
	return yamlfile.Quantity(v, measure.ParseDensity, "/cm", "/in")
}

func share(v measure.Ratio) string { return yamlfile.Quantity(v, measure.ParseShare, "%") }

func volume(v measure.CM3G) string {
	return yamlfile.Quantity(v, measure.ParseSpecificVolume, "cm3/g")
}

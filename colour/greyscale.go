package colour

import (
	"math"
	"strconv"
	"strings"
)

// Grade is a step of the grey scales of ISO 105, in half steps: 2 is grade 1, 9 is
// 4-5, 10 is 5, no change. 0 is not rated.
type Grade int

const (
	Worst Grade = 2  // 1
	Best  Grade = 10 // 5
)

// ParseGrade reads "4" and "4-5"; a slash or a long dash does as well.
func ParseGrade(s string) (Grade, error) {
	t := strings.NewReplacer(" ", "", "–", "-", "/", "-").Replace(s)
	for g := Worst; g <= Best; g++ {
		if t == g.String() {
			return g, nil
		}
	}
	return 0, &ParseError{"grade-value", s}
}

// String writes "4" or "4-5"; empty if not rated.
func (g Grade) String() string {
	switch {
	case g < Worst || g > Best:
		return ""
	case g%2 == 0:
		return strconv.Itoa(int(g / 2))
	}
	return strconv.Itoa(int(g/2)) + "-" + strconv.Itoa(int(g/2)+1)
}

// MarshalText is String.
func (g Grade) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (g *Grade) UnmarshalText(text []byte) (err error) {
	if *g = 0; len(text) > 0 {
		*g, err = ParseGrade(string(text))
	}
	return err
}

// Rating is a colour's fastness by measurement.
type Rating struct {
	Difference DeltaE  // that the scale is read from: dE_F for change, dE_GS for staining
	Value      float64 // between the steps, 1 to 5
	Grade      Grade   // to the half step
}

// RateChange rates a change of colour, as after washing or in light, on the
// grey scale of ISO 105-A02 by the formula of ISO 105-A05:1996. With the
// differences after less before, C and h the means on the shorter arc:
//
//	x    = ((h - 280) / 30)^2, the shorter way round
//	D    = dC x C x exp(-x) / 100
//	dC_F = (dC - D) / (1 + (20 C / 1000)^2)
//	dH_F = (dH - D) / (1 + (10 C / 1000)^2)
//	dE_F = sqrt(dL^2 + dC_F^2 + dH_F^2)
//	value = 5 - dE_F / 1.7                 for dE_F up to 3.4
//	        5 - log2(dE_F / 0.85)          above
//
// The formula is from memory; it gives the steps of ISO 105-A02 (0.8,
// 1.7, 2.5, 3.4, 4.8, 6.8, 9.6, 13.6) to 0.03. The sign of dH in D, which only matters for blues (h about 280), has not
// been held against the standard. Half steps are cut at the middles between
// the steps of A02: 0.4, 1.25, 2.1, 2.95, 4.1, 5.8, 8.2, 11.6. It is meant for a
// change of one sample, not to compare two dyes.
func RateChange(before, after Lab) Rating {
	o, t := before.LCh(), after.LCh()
	d := PartsOf(before, after)
	c := (o.C + t.C) / 2
	away := math.Abs(meanHue(float64(o.H), float64(t.H)) - 280)
	if away > 180 {
		away = 360 - away
	}
	blue := d.C * c * math.Exp(-(away/30)*(away/30)) / 100
	dC := (d.C - blue) / (1 + (0.02*c)*(0.02*c))
	dH := (d.H - blue) / (1 + (0.01*c)*(0.01*c))
	e := math.Sqrt(d.L*d.L + dC*dC + dH*dH)
	v := 5 - e/1.7
	if e > 3.4 {
		v = 5 - math.Log2(e/0.85)
	}
	return Rating{DeltaE(e), max(1, v), gradeOf(e, []float64{0.4, 1.25, 2.1, 2.95, 4.1, 5.8, 8.2, 11.6})}
}

// gradeOf is the half step of a difference: one lower at each bound reached.
func gradeOf(e float64, bounds []float64) Grade {
	g := Best
	for _, b := range bounds {
		if e >= b {
			g--
		}
	}
	return g
}

// RateStaining rates how a white cloth washed or rubbed with the sample has taken
// colour, on the grey scale of ISO 105-A03 by the formula of ISO 105-A04:
//
//	dE_GS = dE - 0.4 sqrt(dE^2 - dL^2)
//	value = 6.1 - 1.45 ln(dE_GS); where that is above 4, 5 - 0.23 dE_GS
//
// with the CIELAB differences of the white cloth before and after. The
// formula is from memory; it gives the steps of ISO 105-A03 (2.2, 4.3, 6, 8.5,
// 12, 16.9, 24, 34.1) to 0.02. Half steps are cut in the middle.
func RateStaining(before, after Lab) Rating {
	e := float64(DifferenceAB(before, after))
	l := after.L - before.L
	gs := e - 0.4*math.Sqrt(max(0, e*e-l*l))
	v := 5.0
	if gs > 0 {
		v = 6.1 - 1.45*math.Log(gs)
	}
	if v > 4 {
		v = 5 - 0.23*gs
	}
	v = max(1, v)
	return Rating{DeltaE(gs), v, Grade(math.Floor(2*v + 0.5))}
}

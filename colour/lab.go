package colour

import (
	"math"
	"strconv"
	"strings"

	"urdir/measure"
)

// XYZ are CIE 1931 tristimulus values (2 degree observer) with Y = 1 for white.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIELAB (ISO/CIE 11664-4) under D65: L from 0 (black) to 100
// (white), A from green to red, B from blue to yellow.
type Lab struct{ L, A, B float64 }

// LCh is a Lab as lightness, chroma and hue. Hue goes from 0 to 360 degrees: red
// about 30, yellow 90, green 150, blue 270; it is 0 for a colour without chroma.
type LCh struct {
	L, C float64
	H    measure.Degree
}

// toXYZ is linear sRGB to XYZ, derived exactly from the primaries 0.64 0.33,
// 0.30 0.60, 0.15 0.06 and D65 0.3127 0.3290 (IEC 61966-2-1, which prints it
// to four decimals: 0.4124 0.3576 0.1805 and so on). toLinear is its inverse.
// Ten decimals; white is the sum of the rows.
var (
	toXYZ = [3][3]float64{
		{0.4123907993, 0.3575843394, 0.1804807884},
		{0.2126390059, 0.7151686788, 0.0721923154},
		{0.0193308187, 0.1191947798, 0.9505321522},
	}
	toLinear = [3][3]float64{
		{3.2409699419, -1.5373831776, -0.4986107603},
		{-0.9692436363, 1.8759675015, 0.0415550574},
		{0.0556300797, -0.2039769589, 1.0569715142},
	}
)

// white is D65 of Y = 1, as the matrix has it: a grey screen has no chroma.
var white = Linear{1, 1, 1}.XYZ()

func times(m *[3][3]float64, x, y, z float64) (a, b, c float64) {
	return m[0][0]*x + m[0][1]*y + m[0][2]*z, m[1][0]*x + m[1][1]*y + m[1][2]*z, m[2][0]*x + m[2][1]*y + m[2][2]*z
}

// XYZ is the light as tristimulus values.
func (l Linear) XYZ() XYZ {
	x, y, z := times(&toXYZ, l.R, l.G, l.B)
	return XYZ{x, y, z}
}

// Linear is the light in the channels of sRGB, which may lie outside 0 to 1.
func (c XYZ) Linear() Linear {
	r, g, b := times(&toLinear, c.X, c.Y, c.Z)
	return Linear{r, g, b}
}

// bend is 6/29 of CIELAB: below its cube the cube root gives way to a line.
const bend = 6.0 / 29

// f is the curve of CIELAB: cube root of t above (6/29)^3, else
// t / (3 (6/29)^2) + 4/29.
func f(t float64) float64 {
	if t > bend*bend*bend {
		return math.Cbrt(t)
	}
	return t/(3*bend*bend) + 4.0/29
}

// fInverse is the inverse of f.
func fInverse(v float64) float64 {
	if v > bend {
		return v * v * v
	}
	return 3 * bend * bend * (v - 4.0/29)
}

// Lab is L = 116 f(Y/Yn) - 16, a = 500 (f(X/Xn) - f(Y/Yn)), b = 200 (f(Y/Yn) -
// f(Z/Zn)), with n for white (ISO/CIE 11664-4; from memory).
func (c XYZ) Lab() Lab {
	x, y, z := f(c.X/white.X), f(c.Y/white.Y), f(c.Z/white.Z)
	return Lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// XYZ is the inverse of XYZ.Lab.
func (c Lab) XYZ() XYZ {
	y := (c.L + 16) / 116
	return XYZ{white.X * fInverse(y+c.A/500), white.Y * fInverse(y), white.Z * fInverse(y-c.B/200)}
}

// Linear is the light of the colour; a channel outside 0 to 1 cannot be shown.
func (c Lab) Linear() Linear { return c.XYZ().Linear() }

// LCh is the colour by chroma and hue.
func (c Lab) LCh() LCh { return LCh{c.L, math.Hypot(c.A, c.B), hue(c.A, c.B)} }

// Lab is the inverse of Lab.LCh.
func (c LCh) Lab() Lab {
	sin, cos := math.Sincos(float64(c.H) * math.Pi / 180)
	return Lab{c.L, c.C * cos, c.C * sin}
}

// hue is the direction of (a, b), from 0 to below 360 degrees; 0 at the middle.
func hue(a, b float64) measure.Degree {
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	if h >= 360 { // of an angle so little below 0 that adding rounds it away
		h = 0
	}
	return measure.Degree(h)
}

// What a person can mean: lightness 0 to 100, and no dye comes near a chroma
// of 200 (our choice).
const (
	mostL  = 100
	mostAB = 200
)

// ParseLab reads L, a and b: "52.3, 14.1, -38", "52,3; 14,1; -38", "52.3 14.1 -38".
// A comma between digits is a decimal comma unless the numbers have no other
// parting, as in "52,14,-38".
func ParseLab(s string) (Lab, error) {
	parts := strings.Fields(s)
	switch {
	case strings.Contains(s, ";"):
		parts = strings.Split(s, ";")
	case len(parts) != 3:
		parts = strings.Split(s, ",")
	}
	if len(parts) != 3 {
		return Lab{}, &ParseError{"colour-value", s}
	}
	var v [3]float64
	for i, p := range parts {
		n, code := measure.ParseNumber(strings.Trim(p, " \t,"))
		if code != "" {
			return Lab{}, &ParseError{"colour-value", s}
		}
		v[i] = n
	}
	c := Lab{v[0], v[1], v[2]}
	if c.L < 0 || c.L > mostL || math.Abs(c.A) > mostAB || math.Abs(c.B) > mostAB {
		return Lab{}, &ParseError{"colour-range", s}
	}
	return c, nil
}

// Parse reads a colour as ParseSRGB or ParseLab do.
func Parse(s string) (Lab, error) {
	if c, err := ParseSRGB(s); err == nil {
		return c.Lab(), nil
	}
	return ParseLab(s)
}

// String writes "52.3, 14.1, -38", to a hundredth: nobody measures more.
func (c Lab) String() string {
	return hundredths(c.L) + ", " + hundredths(c.A) + ", " + hundredths(c.B)
}

func hundredths(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // never "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// MarshalText is String; UnmarshalText is ParseLab.
func (c Lab) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (c *Lab) UnmarshalText(text []byte) (err error) {
	*c, err = ParseLab(string(text))
	return err
}

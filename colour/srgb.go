package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// SRGB is a colour as screens show it: sRGB (IEC 61966-2-1), eight bits a
// channel.
type SRGB struct{ R, G, B uint8 }

// Linear is light in the three channels of sRGB, before a screen's coding: 0 is
// none, 1 is what a white sheet sends back. It is not bounded: a colour that
// no screen can show has a channel below 0 or above 1.
type Linear struct{ R, G, B float64 }

// ParseError says why a colour or a grade could not be read. Code is
// "colour-value", "colour-range" or "grade-value".
type ParseError struct {
	Code string
	Text string // what was written
}

func (e *ParseError) Error() string { return e.Code + ": " + strconv.Quote(e.Text) }

// ParseSRGB reads "#23406e"; the # may be left out, which spares a shell's
// quotation marks, and the letters may be large.
func ParseSRGB(s string) (SRGB, error) {
	h := strings.TrimPrefix(strings.TrimSpace(s), "#")
	v, err := strconv.ParseUint(h, 16, 32)
	if err != nil || len(h) != 6 {
		return SRGB{}, &ParseError{"colour-value", s}
	}
	return SRGB{uint8(v >> 16), uint8(v >> 8), uint8(v)}, nil
}

// String writes "#23406e".
func (c SRGB) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// MarshalText is String; UnmarshalText is ParseSRGB.
func (c SRGB) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (c *SRGB) UnmarshalText(text []byte) (err error) {
	*c, err = ParseSRGB(string(text))
	return err
}

// decode is the light of a coded channel, both 0 to 1:
//
//	V / 12.92                       for V up to 0.04045
//	((V + 0.055) / 1.055) ^ 2.4     above
//
// (IEC 61966-2-1; from memory.)
func decode(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// encode is the inverse of decode. It goes on beyond 0 and 1, so that one can
// see how far a colour lies outside.
func encode(l float64) float64 {
	if l <= 0.0031308 {
		return l * 12.92
	}
	return 1.055*math.Pow(l, 1/2.4) - 0.055
}

// Linear is the light of the colour.
func (c SRGB) Linear() Linear {
	return Linear{decode(float64(c.R) / 255), decode(float64(c.G) / 255), decode(float64(c.B) / 255)}
}

// SRGB codes light in eight bits. A channel outside 0 to 1 is cut off there,
// which changes lightness and hue; Lab.Show gives up chroma instead.
func (l Linear) SRGB() SRGB {
	code := func(v float64) uint8 { return uint8(math.Round(255 * min(1, max(0, encode(v))))) }
	return SRGB{code(l.R), code(l.G), code(l.B)}
}

// Beyond is how far the worst channel lies outside 0 to 1; 0 for a colour that
// a screen can show. 0.1 is a tenth of the light of white.
func (l Linear) Beyond() float64 {
	low := min(l.R, l.G, l.B)
	high := max(l.R, l.G, l.B)
	return max(0, -low, high-1)
}

// inside reports whether eight bits can show the light, to half a step: the
// colour of every SRGB is inside although its last figures were rounded away.
func (l Linear) inside() bool {
	const half = 0.5 / 255
	return encode(min(l.R, l.G, l.B)) >= -half && encode(max(l.R, l.G, l.B)) <= 1+half
}

// Lab is the colour as the eye sees it.
func (c SRGB) Lab() Lab { return c.Linear().XYZ().Lab() }

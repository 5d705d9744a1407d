package colour

import "math"

// Reflectance is the share of light that comes back, in one band of the
// spectrum: above 0 (no black is without any) up to 1.
type Reflectance float64

// KS is absorption over scattering, K/S, of an opaque layer such as cloth or a
// wound skein. Dyes in the same fibre add up in it.
type KS float64

// KS is (1 - R)^2 / (2 R) (Kubelka and Munk 1931), for R above 0 and up to 1.
// It holds for one wavelength, for a layer so thick that nothing shines
// through, without gloss.
func (r Reflectance) KS() KS { return KS((1 - r) * (1 - r) / (2 * r)) }

// Reflectance is the inverse, 1 + K - sqrt(K^2 + 2 K), written so that dark
// colours lose no figures. K must not be below 0.
func (k KS) Reflectance() Reflectance {
	return Reflectance(1 / (1 + float64(k) + math.Sqrt(float64(k*(k+2)))))
}

// Bands is reflectance in bands of the spectrum. Three bands are the channels
// of linear sRGB unless the caller knows better.
type Bands []Reflectance

// darkest is the reflectance below which a photograph and most cloth tell
// nothing; bands of a colour are raised to it (our choice).
const darkest Reflectance = 0.002

// Bands takes the channels of linear sRGB for reflectances. They are broad, so
// what is reckoned with them is an approximation: see Overdye. A channel outside
// what a surface can have is moved to 0.002 or 1; moved tells so.
func (c Lab) Bands() (b Bands, moved bool) {
	l := c.Linear()
	for _, v := range []float64{l.R, l.G, l.B} {
		r := min(1, max(darkest, Reflectance(v)))
		// Rounding in the conversion of white is not worth a word.
		moved = moved || math.Abs(float64(r)-v) > 1e-6
		b = append(b, r)
	}
	return b, moved
}

// Colour is the colour of three bands of linear sRGB; ok is false for any other
// number of bands.
func (b Bands) Colour() (c Lab, ok bool) {
	if len(b) != 3 {
		return Lab{}, false
	}
	return Linear{float64(b[0]), float64(b[1]), float64(b[2])}.XYZ().Lab(), true
}

// Overdye foresees the colour of a skein dyed in several baths one after the
// other, from the bare skein and from what each bath makes of a bare skein alone:
//
//	K/S = K/S(bare) + sum over baths (K/S(bath alone) - K/S(bare))
//
// (additive single-constant theory; from memory), in the bands of Lab.Bands, cut off
// as there. It is a preview and no promise.
// The sum holds for one wavelength, and the channels of sRGB are broad: two
// strong dyes of narrow absorption come out darker or duller here than on yarn.
// It knows nothing of chemistry either: the second bath may strip the first,
// find its mordant used up, shift its colour with acid, lime or iron, or take less
// up on a fibre already full. Dye a sample.
func Overdye(bare Lab, baths ...Lab) Lab {
	base, _ := bare.Bands()
	out := make(Bands, len(base))
	for i, r := range base {
		sum := r.KS()
		for _, bath := range baths {
			b, _ := bath.Bands()
			sum += b[i].KS() - r.KS()
		}
		out[i] = max(0, sum).Reflectance()
	}
	c, _ := out.Colour() // of three bands there always is one
	return c
}

// lightness is the scale on which readings are about equally sure: CIELAB's L of
// a band. A screen's eight bits and the eye are even on it within a factor of two.
func lightness(r Reflectance) float64 { return 116*f(float64(r)) - 16 }

// sureness is how much darker on that scale a band becomes for each unit of
// K/S: -dL/dK = dL/dR x 2 R^2 / (1 - R^2). It is the weight of a reading of K/S in
// least squares, and finite up to R = 1 since R is kept below it.
func sureness(r Reflectance) float64 {
	v := float64(min(r, 0.999))
	slope := 116 / (3 * bend * bend) // of the straight part of f
	if v > bend*bend*bend {
		slope = 116.0 / 3 / math.Pow(v, 2.0/3)
	}
	return slope * 2 * v * v / (1 - v*v)
}
